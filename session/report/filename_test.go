package report

import (
	"regexp"
	"testing"

	"pgregory.net/rapid"
)

func TestNamesOfFiles(t *testing.T) {
	for name, want := range map[string]string{
		"Ash for Wren": "ash-for-wren", "Zoë's élm": "zoe-s-elm", "../../etc/passwd": "etc-passwd",
		`C:\bow.book`: "c-bow-book", "": "bow", "弓": "bow", "...": "bow", "CON": "con-bow", "aux": "aux-bow",
		"com1": "com1-bow", "console": "console", "a\x00b\nc": "a-b-c", "-rf": "rf", "bow*?<>|\"": "bow",
		"\u202egpj.exe": "gpj-exe",
	} {
		if got := Filename(name, "bow"); got != want {
			t.Errorf("%q becomes %q, want %q", name, got, want)
		}
	}
}

// TestAnyNameIsSafe on every system: letters, digits and single dashes, of no great length, no device.
func TestAnyNameIsSafe(t *testing.T) {
	safe := regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	reserved := regexp.MustCompile(`^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.OneOf(rapid.String(), rapid.StringOf(rapid.SampledFrom([]rune("conCON1./\\ -aüß")))).Draw(t, "name")
		if got := Filename(name, "bow"); !safe.MatchString(got) || len(got) > longestName+len("-bow") || reserved.MatchString(got) {
			t.Fatalf("%q becomes %q", name, got)
		}
	})
}
