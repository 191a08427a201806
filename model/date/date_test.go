package date

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var now = time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)

// What is printed is read back in its order, fits its column, and shows the month by letters unless the year
// stands first.
func TestPrintedDaysAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day := time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 80_000).Draw(t, "days"))
		for _, o := range []Order{ISO, DayFirst, monthFirst, ""} {
			text := o.Print(day)
			got, err := o.Parse(text, now)
			if err != nil || !got.Equal(day) {
				t.Fatalf("%s: %q is read as %v, %v", o, text, got, err)
			}
			if short := o.Short(day); len(short) > 10 {
				t.Fatalf("%q is wider than a column of days", short)
			} else if got, err := o.Parse(short, now); day.Year() >= 2000 && day.Year() < 2100 &&
				(err != nil || !got.Equal(day)) {
				t.Fatalf("%s: %q is read as %v, %v", o, short, got, err)
			}
			if strings.Trim(text, "0123456789 ") == "" {
				t.Fatalf("%q could be read in two ways", text)
			}
			// ISO is read in any order.
			if got, err := o.Parse(day.Format(time.DateOnly), now); err != nil || !got.Equal(day) {
				t.Fatalf("%s: ISO is read as %v, %v", o, got, err)
			}
		}
	})
}

func TestTypedDays(t *testing.T) {
	for _, c := range []struct {
		order Order
		text  string
		want  string // "" where it is refused
	}{
		{DayFirst, "3.2.2027", "2027-02-03"},
		{DayFirst, "3/2/27", "2027-02-03"},
		{monthFirst, "3/2/27", "2027-03-02"},
		{ISO, "3/2/27", ""},
		{ISO, "3.2.2027", "2027-02-03"},
		{ISO, "3 feb 2027", "2027-02-03"},
		{monthFirst, "3 Feb 2027", "2027-02-03"},
		{DayFirst, "february 3, 2027", "2027-02-03"},
		{DayFirst, "3 feb", "2027-02-03"},
		{DayFirst, "28 dec", "2026-12-28"},
		{DayFirst, "29 feb", "2028-02-29"},
		{DayFirst, "29 feb 2027", ""},
		{DayFirst, "31.4.2027", ""},
		{DayFirst, "3.13.2027", ""},
		{monthFirst, "13/3/2027", ""},
		{DayFirst, "3 2", "2027-02-03"},
		{DayFirst, "3", ""},
		{DayFirst, "", ""},
		{DayFirst, "3 ma 2027", ""},
		{DayFirst, "3 feb 227", ""},
		{DayFirst, "0 feb 2027", ""},
		{ISO, "2027-02-30", ""},
	} {
		got, err := c.order.Parse(c.text, now)
		if c.want == "" {
			if err == nil || !strings.Contains(err.Error(), "isn't a date; write it like") {
				t.Errorf("%s: %q is read as %v, %v", c.order, c.text, got, err)
			}
			continue
		}
		if err != nil || got.Format(time.DateOnly) != c.want {
			t.Errorf("%s: %q is read as %v, %v; want %s", c.order, c.text, got, err, c.want)
		}
	}
}

func TestOrderOfALocale(t *testing.T) {
	for locale, want := range map[string]Order{
		"": ISO, "C": ISO, "C.UTF-8": ISO, "POSIX": ISO, "en_US.UTF-8": monthFirst, "es_US": monthFirst,
		"en_GB.UTF-8": DayFirst,
		"de_DE@euro":  DayFirst, "fr": DayFirst, "sv_SE.UTF-8": ISO, "ja_JP.eucJP": ISO, "en-US": monthFirst,
		"he_IL.UTF-8": DayFirst,
	} {
		if got := OfLocale(locale); got != want {
			t.Errorf("%q: %s, want %s", locale, got, want)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add("1 feb 27")
	f.Fuzz(func(t *testing.T, text string) {
		for _, o := range []Order{ISO, DayFirst, monthFirst} {
			if got, err := o.Parse(text, now); err == nil {
				if again, err := o.Parse(o.Print(got), now); err != nil || !again.Equal(got) {
					t.Fatalf("%q is %v, then %v, %v", text, got, again, err)
				}
			}
		}
	})
}
