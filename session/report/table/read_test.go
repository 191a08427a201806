package table

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
)

// longbow is read at 6, 8 and 12 in on both limbs.
func longbow() model.Bow {
	limb := model.Limb{Length: 34, Stations: []measure.Length{6, 8, 12}}
	return model.Bow{ID: "b", Units: measure.Imperial(), Handle: 4, Limbs: [2]model.Limb{limb, limb},
		Rule: 1.0 / 16, Scale: 0.1}
}

// told says what a table was taken for, a line a row.
func told(t *testing.T, text string) string {
	t.Helper()
	taken, err := Read(strings.NewReader(text), longbow(), time.UTC)
	if err != nil {
		return err.Error()
	}
	var b strings.Builder
	for _, row := range taken.Rows {
		at := ""
		if !row.Entry.At.IsZero() {
			at = row.Entry.At.Format("2006-01-02 15:04 ")
		}
		if row.Fault != nil {
			fmt.Fprintf(&b, "%d refused: %v\n", row.Line, row.Fault)
			continue
		}
		fmt.Fprintf(&b, "%d %s%s %v\n", row.Line, at, row.Says, readingsOf(row.Entry.What))
		if row.Note != nil {
			fmt.Fprintf(&b, "  and %v\n", row.Note.What.(model.Note).Text)
		}
	}
	if len(taken.Unused) > 0 {
		fmt.Fprintf(&b, "unused %q\n", taken.Unused)
	}
	return b.String()
}

func readingsOf(what model.Event) string {
	var rows model.Readings
	switch e := what.(type) {
	case model.Pull:
		rows = e.Readings
	case model.Braced:
		if rows = e.Readings; e.Block != nil {
			rows = e.Block.Gaps
		}
	}
	var all []string
	for _, l := range slices.Concat(rows[:]...) {
		all = append(all, fmt.Sprint(float64(l.Or(-1))))
	}
	return strings.Join(all, " ")
}

// TestTablesAsSpreadsheetUsersMakeThem: other names, other units, other separators, fractions, no kinds,
// remarks beside.
func TestTablesAsSpreadsheetUsersMakeThem(t *testing.T) {
	for _, c := range []struct{ name, table, want string }{
		{"short", "draw,peak,upper 6,lower 6\n18,31.4,3/8,0.5\n20,35,,\n",
			"2 pull to 18 in: 31.4 lb, 2 readings to the line 0.375 0.5\n3 pull to 20 in: 35.0 lb \n"},
		{"units in the heading", "Draw (cm);Weight [kg];U6 (in);L 6 in\n45,72;14,25;3/8;\"1/2\"\n",
			"2 pull to 18 in: 31.4 lb, 2 readings to the line 0.375 0.5\n"},
		{"units in the cells", "draw\tlb\n18in\t31.4\n45.72cm\t14.24kg\n",
			"2 pull to 18 in: 31.4 lb \n3 pull to 18 in: 31.4 lb \n"},
		{"day and hour", "Date,Time,What,Draw,Peak,Remarks\n2027-01-10,09:30,pull,18,31.4,damp\n10.01.2027,09:45,Pull,20,35,\n2027-01-10,,note,,,=dry\n",
			"2 2027-01-10 09:30 pull to 18 in: 31.4 lb \n  and damp\n3 2027-01-10 09:45 pull to 20 in: 35.0 lb \n4 " +
				"2027-01-10 00:00 note: =dry \n"},
		{"other kinds", "kind,brace,string,block,limb,from,to,tool,strokes,exercise,step,coat,upper 6,upper " +
			"10,colour\nbraced,6,,,,,,,,,,,5 1/2,,red\nstring,,69.75,,,,,,,,,,,,\nblock,,,6,,,,,,,,,0.11,0.1,\n" +
			"scrape,,,,U,6,12,scraper,12,,,,,,\nexercise,,,,,,,,,20,,,,,\nfinish,,,,,,,,,,varnish,2,,,\n",
			"2 braced at 6 in, 1 reading to the string 5.5\n3 string 69 3/4 in between the nocks \n4 braced, 2 " +
				"readings under a block of 6 in 0.11 0.1\n5 scraped upper limb, 6 to 12 in, scraper, 12 strokes \n" +
				"6 exercised, 20 pulls \n7 varnish, coat 2 \nunused [\"colour\"]\n"},
		{"mark of UTF-8", "\ufeffdraw,peak\r\n18,31\r\n", "2 pull to 18 in: 31.0 lb \n"},
	} {
		if got := told(t, c.table); got != c.want {
			t.Errorf("%s: got\n%swant\n%s", c.name, got, c.want)
		}
	}
}

// TestWhatATableRefuses says which line and why.
func TestWhatATableRefuses(t *testing.T) {
	var names []string
	for _, k := range kinds {
		names = append(names, k.name)
	}
	last := len(names) - 1
	anyKind := strings.Join(names[:last], ", ") + " or " + names[last]
	for _, c := range []struct{ table, want string }{
		{"", "it is empty; expected a table (CSV) whose first row names the columns"},
		{"colour,shape\nred,round\n", "its first row names no column of readings; expected headings such as time, " +
			"kind, draw, peak, upper 6, lower 6"},
		{"draw,draw length\n18,18\n", `the columns "draw" and "draw length" would both be the draw (in); expected it once`},
		{"draw,peak\n\"18,31\n", "line 2: extraneous or missing \" in quoted-field; expected a table (CSV)"},
		{"draw,peak\neighteen,31\n",
			"2 refused: draw: not a measure: \"eighteen\"; a length is written 6 3/8, 6-3/8, 6.375, 6⅜ or 162mm\n"},
		{"draw,peak\n,31\n", "2 refused: draw: missing; expected a length like 6 3/8\n"},
		{"draw,peak,upper 9\n18,31,1\n",
			"2 refused: upper 9: the upper limb has no station there; it is read at 6, 8, 12 in\n"},
		{"draw,upper 6\n18,20\n", "2 refused: upper 6: 20 is beyond the bow: at 6 in it can be 6 in at most\n"},
		{"kind,draw\njump,18\n", "2 refused: kind: \"jump\"; expected " + anyKind + "\n"},
		{"kind,draw,strokes\npull,18,4\n", "2 refused: strokes: a row of the kind pull has none\n"},
		{"kind,pulls,upper 6\nexercise,4,1\n",
			"2 refused: upper 6: a row of the kind exercise has no readings of stations\n"},
		{"kind,limb,from,to\nscrape,middle,4,8\n", "2 refused: limb: expected upper or lower\n"},
		{"time,draw\nyesterday,18\n",
			"2 refused: time: \"yesterday\" names no day; expected one like 2027-01-10 09:30\n"},
		{"draw,peak\n18,31,4,5\n", "2 refused: there are more cells than columns: \"4\" stands beyond the last\n"},
		{"entry,draw\na,18\na,20\n", "2 pull to 18 in \n3 refused: its entry stands in line 2 already\n"},
		{"kind,pulls\nexercise,2.5\n", "2 refused: pulls: \"2.5\" is no whole number\n"},
		{"kind,draw,measured to\npull,18,nock\n", "2 refused: measured to: \"nock\"; expected line or string\n"},
		{"upper 6,lower 6\n1,1\n", "2 refused: it does not say what was done; expected a kind such as pull, " +
			"braced, relaxed or scrape, or a draw\n"},
	} {
		if got := told(t, c.table); got != c.want {
			t.Errorf("%q: got\n%swant\n%s", c.table, got, c.want)
		}
	}
}

// FuzzRead: any file is told of or refused, and what is taken is a thing that can be.
func FuzzRead(f *testing.F) {
	f.Add("time,kind,draw (in),peak (lb),upper 6,lower 6,note,entry\n2027-01-10 " +
		"09:30,pull,18,31.4,0.375,0.5,'=1,a\n")
	f.Add("kind;block;upper 6;entry\nbraced;;5;a\nblock;6;0.1;a\nblock;6;0.2;a\n")
	f.Add("draw\tpeak\n18\t\"31\n")
	f.Fuzz(func(t *testing.T, file string) {
		bow := longbow()
		taken, err := Read(strings.NewReader(file), bow, time.UTC)
		if err != nil {
			return
		}
		for _, entry := range taken.Entries() {
			if err := bow.CheckEvent(entry.What); err != nil {
				t.Fatalf("%#v was taken: %v", entry.What, err)
			}
		}
	})
}

// What is no table but a weight on the machine is told of in few words, or taken as what it says.
func TestBombsAreToldOfInFewWords(t *testing.T) {
	for name, file := range map[string]string{
		"200,000 columns":           "kind,draw,peak" + strings.Repeat(",x", 200_000) + "\npull,18,31\n",
		"a cell of two megabytes":   "kind,draw,peak\npull,\"" + strings.Repeat("9", 2<<20) + "\",31\n",
		"a name of two megabytes":   "kind,draw,peak,\"" + strings.Repeat("x\n", 1<<20) + "\"\npull,18,31,1\n",
		"a quote that never closes": "kind,draw,peak\npull,18,\"" + strings.Repeat("31\n", 200_000),
		"nothing but bytes of zero": strings.Repeat("\x00", 200_000),
	} {
		if said := told(t, file); len(said) > 1000 {
			t.Errorf("%s: %d bytes are said: %.200q...", name, len(said), said)
		}
	}
}

func fatal(t rapid.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
