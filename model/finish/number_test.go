package finish

import (
	"bytes"
	"maps"
	"math/rand"
	"slices"
	"strings"
	"testing"
	"time"
)

const usualNumbering = "{yy}{month}{day}-{count}-{letters}"

func chanceOf(seed int64) *rand.Rand { return rand.New(rand.NewSource(seed)) }

func TestNumbersByPattern(t *testing.T) {
	day := time.Date(2027, 2, 1, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		pattern string
		start   int
		given   []string
		want    string
	}{
		{"{count}", 1, nil, "1"},
		{"{count}", 48, nil, "48"},
		{"{count}", 1, []string{"47", "12", "old one"}, "48"},
		{"{count}", 100, []string{"47"}, "100"},
		{"{yy}{month}{day}-{count}", 1, []string{"270130-9", "47"}, "270201-10"},
		{"{year}/{count:3}", 7, []string{"2026/006"}, "2027/007"},
		{"No. {count}", 1, []string{"no. 3", "No.  4"}, "No. 5"},
		{"AB {count:2}.", 1, []string{"ab 09."}, "AB 10."},
	} {
		n := numbering{Pattern: c.pattern, Start: c.start, Alone: true}
		if got, err := n.Next(c.given, day, chanceOf(1)); err != nil || got != c.want {
			t.Errorf("%s after %q: %q, %v; want %q", c.pattern, c.given, got, err, c.want)
		}
	}
}

func TestPatternsThatGiveNoDistinctNumbersAreRefused(t *testing.T) {
	for pattern, says := range map[string]string{
		"":                                       "{count}",
		"{year}{month}{day}-{letters}":           "{count}",
		"47":                                     "{count}",
		"{count}{count}-{letters}":               "twice",
		"{count}":                                "alone",
		"{count}-{letters}-{bow}":                "{bow} is not known",
		"{count:0}-{letters}":                    "width",
		"{day:2}-{count}-{letters}":              "only {count}",
		"{day:}-{count}-{letters}":               "width",
		"{count}-{letters}}":                     "stands alone",
		"{count}\n{letters}":                     "you can stamp",
		"{count}-{letters}-{letters}":            "twice",
		strings.Repeat("x", 70) + "{count}":      "alone",
		strings.Repeat("x", 70) + usualNumbering: "you can stamp",
	} {
		_, err := numbering{Pattern: pattern, Start: 1}.Next(nil, time.Time{}, chanceOf(1))
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", pattern, err)
		}
	}
	if _, err := (numbering{Pattern: usualNumbering}).Next(nil, time.Time{}, chanceOf(1)); err == nil {
		t.Error("a count that begins with 0 is not refused")
	}
	spent := bytes.NewReader(make([]byte, 3))
	if _, err := (numbering{Pattern: usualNumbering, Start: 1}).Next(nil, time.Time{}, spent); err == nil {
		t.Error("no error where chance has run out")
	}
}

// Two books count from the same place on the same days, merge now and then, and are never told of each
// other's numbers before: 2,000 bows, none with a number that another has. Nor does one ever give a number
// again that stands on no bow any more.
func TestNoNumberIsGivenTwice(t *testing.T) {
	n := Usual().Number
	var given [2][]string
	all := make(map[string]bool)
	chance := [2]*rand.Rand{chanceOf(1), chanceOf(2)}
	for day := range 100 {
		for book := range given {
			for range 10 {
				number, err := n.Next(given[book], at(1+day, 9), chance[book])
				if err != nil || all[PlainNumber(number)] {
					t.Fatalf("day %d, book %d: %q, %v", day, book, number, err)
				}
				all[PlainNumber(number)] = true
				given[book] = append(given[book], number)
			}
		}
		if day%7 == 6 {
			both := slices.Sorted(maps.Keys(all))
			given = [2][]string{both, slices.Clone(both)}
		}
	}
}
