package command

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"reflect"
	"strings"
	"testing"

	"bendbook/model/plain"
	"bendbook/session/report"
)

// nasty is text that would steer a terminal, turn the direction of writing, run as a formula, close a page's
// tag or lead out of a folder, if it were shown as it is.
const nasty = "=cmd|'/c x'!A1\x1b]0;owned\a\x1b[2J\u009b31m\u202egnp\u2066\u200b\x00\r\n\t</script><b>../../etc/passwd\u2028\U000e0041"

// nastyRecord has such text wherever a record may have text.
func nastyRecord(id string) string {
	text := quoted(nasty)
	return strings.NewReplacer("ID", quoted(id), "N", text, "M", text[1:len(text)-1]).Replace(
		`{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},N:N,"bow":{"id":ID,"name":"oak M","wood":N,` +
			`"number":"7M",N:N,"limbs":{"upper":{"length":34,"stations":[6,16,28]},"lower":{"length":34,"stations":[6,16,28]}},` +
			`"order":{"for":N,"notes":N,"draw":28,"weight":40},"aim":{"bend":"compass"}},"entries":[` +
			`{"id":"pM","at":"2027-01-10T09:00:00Z","kind":"pull","draw":18,"peak":21.4,"upper":[1],"lower":[1],N:N},` +
			`{"kind":"scrape","limb":"upper","from":4,"to":12,"tool":N},{"kind":"pull","draw":20,"peak":25},` +
			`{"kind":"finish","step":N,"text":N},{"kind":"finish","step":"marked","text":N},{"kind":"note","text":N},` +
			`{"kind":"new M","text":N},{"kind":"rack","in_hand":false,"why":N},{"id":"v","kind":"void","entry":"pM","why":N},` +
			`{"kind":"void","entry":"v","why":N},{"kind":"bow","set":{"name":"oak2 M"}}]}`)
}

// quoted is a text as JSON has it.
func quoted(text string) string {
	doc, _ := json.Marshal(text)
	return string(doc)
}

// steering is the first character of a text that no terminal may be given; "" where there is none. A table
// begins with a byte order mark, for spreadsheets.
func steering(text string) string {
	for _, r := range strings.TrimPrefix(text, "\ufeff") {
		if r != '\n' && r != ' ' && plain.Line(string(r)) != string(r) {
			return string(r)
		}
	}
	return ""
}

// Whatever strangers wrote into a book, no command gives it out raw, neither as results nor as messages, be
// it to a terminal, a pipe or a file that is shown later.
func TestNoCommandGivesOutStrangersTextRaw(t *testing.T) {
	if testing.Short() {
		t.Skip("all on one goroutine")
	}
	d := newDesk()
	d.ReadFile = func(name string) (io.ReadCloser, error) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New(nasty)}
	}
	d.WriteFile = func(name string, _ Over, _ func(io.Writer) error) error {
		return &fs.PathError{Op: "open", Path: name, Err: fs.ErrExist}
	}
	run := func(in string, args ...string) (code int) {
		t.Helper()
		code = d.run(in, args...)
		for name, text := range map[string]string{"printed": d.out.String(), "said": d.err.String()} {
			if bad := steering(text); bad != "" {
				at := strings.Index(text, bad)
				t.Errorf("%q %s %U: ...%q", args, name, []rune(bad)[0], text[max(0, at-60):min(len(text), at+30)])
			}
		}
		return code
	}
	for _, id := range []string{"1", "id" + nasty} {
		if code := run(nastyRecord(id), "import", "-"); code != exitDone {
			t.Fatal(d.err.String())
		}
	}
	good := [][]string{{"list"}, {"list", "--json"}, {"export"}, {"export", "1"}, {"export", "--all"}, {"tally", "1"}, {"settings"}, {"version"}, {"help"},
		{"log", "1", "undo"}, {"log", "1", "redo"}, {"log", "1", "back"}, {"log", "1", "note", nasty}, {"log", "1", "aside", nasty},
		{"log", "1", "back"}, {"log", "1", "scrape", "upper", "4-6", "tool", "knife\u009b31m\u202e"}, {"log", "1", "pull", "18", "21.4"}}
	for _, form := range report.Formats() {
		good = append(good, []string{"summary", "1", "--as", form.Name}, []string{"summary", "1", "--as", form.Name, "--session", "1"})
	}
	for _, form := range report.CardFormats() {
		good = append(good, []string{"card", "1", "--draft", "--as", form.Name})
	}
	for _, args := range good {
		if code := run("", args...); code != exitDone || d.out.Len() == 0 {
			t.Errorf("%q ended with %d: %s", args, code, d.err.String())
		}
	}
	for _, in := range []struct {
		doc  string
		args []string
	}{
		{strings.Replace(nastyRecord("9"), `"bend":"compass"`, `"bend":"full compass"`, 1), []string{"advise", "-"}},
		{`{"format":"bendbook/shop","version":1}`, []string{"settings", "--set", "-"}},
		{`note ` + strings.NewReplacer("\r", "", "\n", "").Replace(nasty) + "\n", []string{"log", "1", "-"}},
	} {
		if code := run(in.doc, in.args...); code != exitDone {
			t.Errorf("%q ended with %d: %s", in.args, code, d.err.String())
		}
	}
	for _, args := range [][]string{
		// What was asked for is said again.
		{"summary", nasty}, {"export", nasty}, {"card", "oak" + nasty}, {"oak"}, {nasty}, {"--" + nasty}, {"list", "--json=" + nasty}, {"summary", "1", "--as", nasty},
		{"summary", "1", "--session", nasty}, {"export", "1", "-o", nasty}, {"import", nasty}, {"advise", nasty}, {"strung", nasty}, {"help", nasty},
		{"import", "-", "--bow", nasty}, {"log", nasty, "undo"}, {"log", "1", nasty}, {"log", "1", "pull", nasty}, {"log", "1", "pull", "20", nasty},
		{"log", "1", "scrape", nasty}, {"log", "1", "measure", nasty},
	} {
		if code := run("", args...); code == exitDone || d.err.Len() == 0 {
			t.Errorf("%q went well: %s", args, d.out.String())
		}
	}

	// What is read and refused is said again too.
	bad := quoted(nasty)
	for _, c := range []struct {
		in   string
		args []string
	}{
		{nastyRecord("1"), []string{"advise", "-"}},
		{strings.Replace(nastyRecord("3"), `"in"`, bad, 1), []string{"import", "-"}},
		{strings.Replace(nastyRecord("3"), `"peak":21.4`, `"peak":`+bad, 1), []string{"import", "-"}},
		{strings.Replace(nastyRecord("3"), `"limb":"upper"`, `"limb":`+bad, 1), []string{"import", "-"}},
		{strings.Replace(nastyRecord("3"), `"bendbook/record"`, bad, 1), []string{"import", "-"}},
		{strings.Replace(nastyRecord("3"), `"bend":"compass"`, `"bend":`+bad, 1), []string{"advise", "-"}},
		{strings.Replace(nastyRecord("3"), `"draw":18`, `"draw":18,`+bad+`:1,`+bad+`:2`, 1), []string{"import", "-"}},
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

// What is exported with its steering characters spelled out says the same: the same book takes it for nothing
// new, and another has every character again.
func TestAnExportSaysTheSameWithoutSteering(t *testing.T) {
	d, other := newDesk(), newDesk()
	raw := strings.NewReplacer(`\u009b`, "\u009b", `\u202e`, "\u202e", `\u2066`, "\u2066", `\u0085`, "\u0085").
		Replace(strings.ReplaceAll(nastyRecord("1"), "owned", "owned\u0085\u007f\u061c"))
	if steering(raw) == "" {
		t.Fatal("the record has nothing that steers")
	}
	d.does(t, exitDone, raw, "import", "-")
	exported := d.does(t, exitDone, "", "export")
	if bad := steering(exported); bad != "" {
		t.Errorf("%q is in the export", bad)
	}
	if said := d.does(t, exitDone, exported, "import", "-"); !strings.HasSuffix(said, ": 0 new entries\n") {
		t.Errorf("imported again it said %q", said)
	}
	other.does(t, exitDone, exported, "import", "-")
	if other.does(t, exitDone, "", "export") != exported {
		t.Error("another book exports it otherwise")
	}
	texts := func(doc string) (rec struct {
		Bow     struct{ Wood string }
		Entries []struct{ ID, Kind, Text, Tool string }
	}) {
		if err := json.Unmarshal([]byte(doc), &rec); err != nil {
			t.Fatal(err)
		}
		return rec
	}
	if was, is := texts(raw), texts(exported); !reflect.DeepEqual(was, is) {
		t.Errorf("it says %v, and said %v", is, was)
	}
}
