package verdict_test

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"bendbook/model/plan"
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
	fired, planned := map[string]bool{}, map[string]bool{}
	for _, s := range all {
		rec, err := record.Parse(s.Record)
		must(t, err)
		a := of(t, rec)
		v := judge(a)
		must(t, a.Write(io.Discard, v))
		fired[v.Rule] = true
		if p, ok := a.Plan.Get(); ok {
			planned[checkPlan(t, s.Title, a, p)] = true
		}
		checkAsked(t, s.Title, a, v)
		checkMissing(t, s.Title, a, v)
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
	if len(planned) != 12 {
		t.Errorf("the plans are %v", planned)
	}
	for _, name := range verdict.RuleNames() {
		if !fired[name] {
			t.Errorf("no situation is decided by %q", name)
		}
	}
}

// checkPlan holds a plan to say what holds, and to take wood only where that is what it says. It returns the
// words for that.
func checkPlan(t *testing.T, title string, a verdict.Advice, p verdict.Plan) (words string) {
	t.Helper()
	says := map[plan.Verdict]string{
		plan.Scrape: `^(Too heavy|Near its weight).* After it, about `,
		plan.Done:   `^(On its weight).* Tiller right, no stiff or weak place\.`,
		plan.Weak:   `^(Under weight).*; you want `,
		plan.Unsure: `^(Near the least you want).*There's no wood to spare\.`,
		plan.Left:   `^On its weight.* (Scraping won't fix) what's left\. Left over: `,
	}[p.Verdict]
	if p.Halt != "" {
		says = `^(No reading shows what|Wood came off|It was shot|It was mended|It was heated|The readings don't fit one bow)`
	}
	all := strings.Join(p.Says, " ")
	match := regexp.MustCompile(says).FindStringSubmatch(all)
	if match == nil || (p.Verdict != plan.Scrape || p.Halt != "") && len(a.Removal) > 0 {
		t.Fatalf("%s: %d, the plan says %q and takes %+v", title, p.Verdict, all, a.Removal)
	}
	return match[1]
}

// checkAsked holds the advice to the stations that the verdict names, which the next form asks for first.
func checkAsked(t *testing.T, title string, a verdict.Advice, v verdict.Verdict) {
	t.Helper()
	asked := a.Stations(v)
	for i, at := range asked {
		if i > 2 || v.Do != verdict.Measure && v.Do != verdict.Check ||
			i == 0 && !strings.Contains(v.Say, at.Side.String()) {
			t.Errorf("%s: %q asks for %+v first", title, v.Say, asked)
		}
	}
	if v.Do == verdict.Measure && len(asked) == 0 {
		t.Errorf("%s: %q asks for no station first", title, v.Say)
	}
}

// checkMissing holds the advice to say nothing where readings are missing, and to name what the order lacks.
func checkMissing(t *testing.T, title string, a verdict.Advice, v verdict.Verdict) {
	t.Helper()
	if !a.Read && (a.Weight.Known() || a.Next.Known() || len(a.Findings) > 0 ||
		a.NoPlan != "No plan yet: nothing was read.") {
		t.Errorf("%s: not read, it says %+v", title, a)
	}
	missing := regexp.MustCompile(`^No plan: (the order has no (weight|draw( and no weight)?)|the draw was ordered to ` +
		`the back; type how deep the handle is)\.$`)
	if v.Rule == "no order" && (a.Plan.Known() || len(a.Removal) > 0 || !missing.MatchString(a.NoPlan)) {
		t.Errorf("%s: without an order it says %q", title, a.NoPlan)
	}
}
