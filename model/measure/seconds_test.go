package measure

import (
	"errors"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestParseSeconds(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"3": 3 * time.Second, "3.2": 3200 * time.Millisecond, "3,2": 3200 * time.Millisecond,
		" 3.2 s ": 3200 * time.Millisecond,
		"0":       0, ".5": 500 * time.Millisecond, "12s": 12 * time.Second,
	} {
		if got, err := ParseSeconds(text); err != nil || got != want {
			t.Errorf("%q is %v (%v), want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "s", "-1", "3 1/2", "1e3", "90000", "3m", "NaN"} {
		if got, err := ParseSeconds(text); !errors.Is(err, errNotMeasure) {
			t.Errorf("%q is %v (%v)", text, got, err)
		}
	}
}

// A time to a tenth, as the clock gives it, is typed as it is printed.
func TestSecondsComeBackAsTheyArePrinted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := time.Duration(rapid.IntRange(0, 864_000).Draw(t, "tenths")) * 100 * time.Millisecond
		if back, err := ParseSeconds(PrintSeconds(d)); err != nil || back != d {
			t.Fatalf("%v is printed %q and read %v (%v)", d, PrintSeconds(d), back, err)
		}
	})
}
