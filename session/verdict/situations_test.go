package verdict_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bendbook/model/record"
	"bendbook/session/verdict"
)

// TestSituations holds the verdict in each of the situations that a bowyer knows; its texts are beginnings and
// fragments. With -v it prints them as a table.
func TestSituations(t *testing.T) {
	t.Parallel()
	doc, err := os.ReadFile(filepath.Join("..", "..", "testdata", "verdict", "situations.json"))
	must(t, err)
	var all []struct {
		Title, Word, Say, Why, Never, Rule string
		Do                                 verdict.Do
		Record                             json.RawMessage
	}
	must(t, json.Unmarshal(doc, &all))
	if len(all) < 40 {
		t.Errorf("%d situations are kept", len(all))
	}
	var table strings.Builder
	fired := map[string]bool{}
	for _, s := range all {
		rec, err := record.Parse(s.Record)
		must(t, err)
		a := of(t, rec)
		v := judge(a)
		// The next form asks first for the stations that the verdict names.
		asked := a.Stations(v)
		for i, at := range asked {
			if i > 2 || v.Do != verdict.Measure && v.Do != verdict.Check ||
				i == 0 && !strings.Contains(v.Say, at.Side.String()) {
				t.Errorf("%s: %q asks for %+v first", s.Title, v.Say, asked)
			}
		}
		if v.Do == verdict.Measure && len(asked) == 0 {
			t.Errorf("%s: %q asks for no station first", s.Title, v.Say)
		}
		fired[v.Rule] = true
		fmt.Fprintf(&table, "| %s | %s · %s · %s %s (%s) |\n", s.Title, v.Do, v.Word, v.Say, v.Why, v.Rule)
		if v.Do != s.Do || v.Word != s.Word || v.Rule != s.Rule || !strings.HasPrefix(v.Say, s.Say) ||
			!strings.Contains(v.Why, s.Why) {
			t.Errorf("%s:\n%+v\nwant\n%s %q %q %q %q", s.Title, v, s.Do, s.Rule, s.Word, s.Say, s.Why)
		}
		if s.Say == "" || s.Never != "" && strings.Contains(v.Say+v.Why, s.Never) {
			t.Errorf("%s: %q stands in %q, %q", s.Title, s.Never, v.Say, v.Why)
		}
	}
	t.Logf("\n| situation | verdict |\n|---|---|\n%s", table.String())
	for _, name := range verdict.RuleNames() {
		if !fired[name] {
			t.Errorf("no situation is decided by %q", name)
		}
	}
}
