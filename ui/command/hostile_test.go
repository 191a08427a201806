package command

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"strings"
	"testing"

	"bendbook/model/plain"
	"bendbook/session/report"
)

// nasty is text that would steer a terminal, turn the direction of writing, run as a formula, close a page's tag or lead
// out of a folder, if it were shown as it is.
const nasty = "=cmd|'/c x'!A1\x1b]0;owned\a\x1b[2J\u009b31m\u202egnp\u2066\u200b\x00\r\n\t</script><b>../../etc/passwd\u2028\U000e0041"

// nastyRecord has such text wherever a record may have text.
func nastyRecord(t *testing.T, id string) string {
	t.Helper()
	limb := map[string]any{"length": 34, "stations": []int{6, 16, 28}}
	doc, err := json.Marshal(map[string]any{
		"format": "bendbook/record", "version": 1, "units": map[string]any{"length": "in", "force": "lbf"}, nasty: nasty,
		"bow": map[string]any{
			"id": id, "name": "oak " + nasty, "wood": nasty, "number": "7" + nasty, "limbs": map[string]any{"upper": limb, "lower": limb}, nasty: nasty,
			"order": map[string]any{"for": nasty, "notes": nasty, "draw": 28, "weight": 40}, "aim": map[string]any{"bend": "compass"},
		},
		"entries": []any{
			map[string]any{"id": "p" + nasty, "at": "2027-01-10T09:00:00Z", "kind": "pull", "draw": 18, "peak": 21.4, "upper": []float64{1}, "lower": []float64{1}, nasty: nasty},
			map[string]any{"kind": "scrape", "limb": "upper", "from": 4, "to": 12, "tool": nasty},
			map[string]any{"kind": "pull", "draw": 20, "peak": 25},
			map[string]any{"kind": "finish", "step": nasty, "text": nasty}, map[string]any{"kind": "finish", "step": "marked", "text": nasty},
			map[string]any{"kind": "note", "text": nasty}, map[string]any{"kind": "new " + nasty, "text": nasty},
			map[string]any{"kind": "rack", "in_hand": false, "why": nasty}, map[string]any{"id": "v", "kind": "void", "entry": "p" + nasty, "why": nasty},
			map[string]any{"kind": "void", "entry": "v", "why": nasty},
			map[string]any{"kind": "bow", "set": map[string]any{"name": "oak2 " + nasty}},
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	return string(doc)
}

// steering is the first character of a text that no terminal may be given; "" where there is none.
func steering(text string) string {
	for _, r := range text {
		if r != '\n' && r != ' ' && plain.Line(string(r)) != string(r) {
			return string(r)
		}
	}
	return ""
}

// Whatever strangers wrote into a book, no command gives it raw to a terminal, neither as results nor as messages.
func TestNoCommandGivesStrangersTextRawToATerminal(t *testing.T) {
	if testing.Short() {
		t.Skip("all on one goroutine")
	}
	d := newDesk()
	d.OutTerminal, d.ErrTerminal = true, true
	d.ReadFile = func(name string) (io.ReadCloser, error) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New(nasty)}
	}
	d.WriteFile = func(name string, _ Over, _ func(io.Writer) error) error {
		return &fs.PathError{Op: "open", Path: name, Err: fs.ErrExist}
	}
	run := func(in string, args ...string) (code int) {
		t.Helper()
		d.out.Reset()
		d.err.Reset()
		d.In = strings.NewReader(in)
		code = Run(d.World, args)
		for name, text := range map[string]string{"printed": d.out.String(), "said": d.err.String()} {
			if bad := steering(text); bad != "" {
				at := strings.Index(text, bad)
				t.Errorf("%q %s %U: ...%q", args, name, []rune(bad)[0], text[max(0, at-60):min(len(text), at+30)])
			}
		}
		return code
	}
	for _, id := range []string{"1", "id" + nasty} {
		if code := run(nastyRecord(t, id), "import", "-"); code != Done {
			t.Fatal(d.err.String())
		}
	}
	good := [][]string{{"list"}, {"list", "--json"}, {"export"}, {"export", "1"}, {"tally", "1"}, {"settings"}, {"version"}, {"help"}}
	for _, form := range report.Formats() {
		good = append(good, []string{"summary", "1", "--as", form.Name}, []string{"summary", "1", "--as", form.Name, "--session", "1"})
	}
	for _, form := range report.CardFormats() {
		good = append(good, []string{"card", "1", "--as", form.Name})
	}
	for _, args := range good {
		if code := run("", args...); code != Done || d.out.Len() == 0 {
			t.Errorf("%q ended with %d: %s", args, code, d.err.String())
		}
	}
	for _, args := range [][]string{
		// What was asked for is said again.
		{"summary", nasty}, {"export", nasty}, {"card", "oak" + nasty}, {"oak"}, {nasty}, {"--" + nasty}, {"list", "--json=" + nasty}, {"summary", "1", "--as", nasty},
		{"summary", "1", "--session", nasty}, {"export", "1", "-o", nasty}, {"import", nasty}, {"advise", nasty}, {"strung", nasty}, {"completion", nasty}, {"help", nasty},
		{"import", "-", "--bow", nasty},
	} {
		if code := run("", args...); code == Done || d.err.Len() == 0 {
			t.Errorf("%q went well: %s", args, d.out.String())
		}
	}

	// What is read and refused is said again too.
	quoted, err := json.Marshal(nasty)
	if err != nil {
		t.Fatal(err)
	}
	bad := string(quoted)
	for _, c := range []struct {
		in   string
		args []string
	}{
		{nastyRecord(t, "1"), []string{"advise", "-"}},
		{strings.Replace(nastyRecord(t, "3"), `"in"`, bad, 1), []string{"import", "-"}},
		{strings.Replace(nastyRecord(t, "3"), `"peak":21.4`, `"peak":`+bad, 1), []string{"import", "-"}},
		{strings.Replace(nastyRecord(t, "3"), `"limb":"upper"`, `"limb":`+bad, 1), []string{"import", "-"}},
		{strings.Replace(nastyRecord(t, "3"), `"bendbook/record"`, bad, 1), []string{"import", "-"}},
		{strings.Replace(nastyRecord(t, "3"), `"bend":"compass"`, `"bend":`+bad, 1), []string{"advise", "-"}},
		{strings.Replace(nastyRecord(t, "3"), `"draw":18`, `"draw":18,`+bad+`:1,`+bad+`:2`, 1), []string{"import", "-"}},
		{`{"format":"bendbook/stave","version":1,` + bad + `:1}`, []string{"strung", "-"}},
		{`{"format":` + bad + `}`, []string{"strung", "-"}},
		{`{"format":"bendbook/shop","version":1,` + bad + `:1}`, []string{"settings", "-"}},
		{`{"format":"bendbook/shop","version":1,"stages":[{"name":` + bad + `}]}`, []string{"settings", "-"}},
		{nasty + ",kind\n" + nasty + "," + nasty + "\n", []string{"import", "-", "--bow", "1", "--yes"}},
		{"time,kind,draw,peak,note\n" + nasty + ",pull,18,31," + nasty + "\n", []string{"import", "-", "--bow", "1", "--dry-run"}},
		{nasty, []string{"import", "-"}},
	} {
		if run(c.in, c.args...); d.out.Len()+d.err.Len() == 0 {
			t.Errorf("%q says nothing of %q", c.args, c.in)
		}
	}
}
