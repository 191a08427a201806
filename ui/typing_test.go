package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/ui/look"
)

// sitting is a day of the demo's ash at the tree as it is typed, a comma for each Enter: three scrapes, five
// pulls of sixteen stations, which a rule prints as the first of each pair and short fingers type as the
// second, and a note.
var sitting = [][2]string{
	{"su,0,10,,8,,", ""},
	{"su,12,28,,10,,", ""},
	{"sl,0,14,,7,,", ""},
	{"14 1/2,21,1/4,3/8,1 1/16,1 7/8,3,4 1/4,5 7/8,7 5/8," +
		"1/4,7/16,1,1 3/4,2 3/4,4,5 7/16,7 1/16,",
		"=,21,+,-,=,-,3,=,-,-,=,=,1,-,=,4,+,++,"},
	{"16 1/2,25.2,5/16,1/2,1 1/8,2 1/8,3 5/16,4 11/16,6 3/8,8 5/16," +
		"1/4,1/2,1 1/16,1 15/16,3 1/16,4 7/16,5 15/16,7 3/4,",
		"16 8,25.2,5/,8/,1 2,2 2,3 5,4 11,6 6,8 5,4/,8/,1 1,1 15,3 1,4 7,5 15,7 12,"},
	{"16 1/2,23.8,5/16,1/2,1 3/16,2 1/8,3 5/16,4 5/8,6 3/8,8 3/8," +
		"1/4,1/2,1 1/16,1 15/16,3,4 5/16,5 7/8,7 11/16,",
		"=,23.8,=,=,+,=,=,-,=,+,=,=,=,=,3,--,-,-,"},
	{"18 1/2,27.2,5/16,1/2,1 5/16,2 5/16,3 5/8,5 3/16,6 15/16,9 1/16," +
		"3/16,1/2,1 3/16,2 1/8,3 1/4,4 3/4,6 3/8,8 3/8,",
		"18 8,27.2,5/,8/,1 5,2 5,3 10,5 3,6 15,9 1,3/,8/,1 3,2 2,3 4,4 12,6 6,8 6,"},
	{"18 1/2,27,7/16,9/16,1 1/4,2 5/16,3 1/2,5 3/16,7,9 1/16," +
		"5/16,9/16,1 3/16,2 1/8,3 5/16,4 3/4,6 1/2,8 3/8,",
		"=,27,7/,+,-,=,--,=,7,=,5/,+,=,=,+,=,++,=,"},
	{"nBetter; still flat over the dip. No farther until it comes.,", ""},
}

// A day at the tree that is typed in short takes six keys where a rule's own way takes ten. Both make the same
// entries.
func TestASessionTakesFewKeys(t *testing.T) {
	t.Parallel()
	story := atTheBench(t).bench().story()
	var before []model.Event
	for _, line := range story.Lines {
		if line.Entry.At.Before(time.Date(2027, 1, 21, 0, 0, 0, 0, time.UTC)) {
			before = append(before, line.Entry.What)
		}
	}
	var keys [2]int
	var made [2][]string
	for way := range keys {
		h := sit(t, look.NoColour, false, 80, 24)
		h.hold = true
		bow := story.Bow()
		bow.ID = ""
		h.newBow(bow, before...)
		h.open(look.NoColour, 80, 24)
		h.press("enter")
		for _, entry := range sitting {
			for field := range strings.SplitSeq(strings.TrimSuffix(cmp.Or(entry[way], entry[0]), ","), ",") {
				keys[way] += h.strokes(field, "enter")
			}
			for strings.Contains(h.app.View(), "SURE?") {
				keys[way] += h.strokes("enter")
			}
		}
		for _, line := range h.bench().story().Lines[len(before):] {
			made[way] = append(made[way], fmt.Sprintf("%+v", line.Entry.What))
		}
	}
	if len(made[0]) != len(sitting) || !slices.Equal(made[0], made[1]) {
		t.Errorf("in full it makes\n%q, in short\n%q", made[0], made[1])
	}
	t.Logf("%d keys in full, %d in short", keys[0], keys[1])
	if 100*keys[1] > 60*keys[0] {
		t.Errorf("%d keys where %d were needed", keys[1], keys[0])
	}
}
