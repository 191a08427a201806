package table

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
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
	rows, err := Read(strings.NewReader(text), longbow(), time.FixedZone("", 3600))
	if err != nil {
		return err.Error()
	}
	var b strings.Builder
	for _, row := range rows {
		if row.Fault != nil {
			fmt.Fprintf(&b, "%d refused: %v\n", row.Line, row.Fault)
			continue
		}
		item, err := record.NewItem(row.Entry, longbow().Units)
		fatal(t, err)
		fmt.Fprintf(&b, "%d %s\n", row.Line, item.Doc)
	}
	return b.String()
}

// TestTablesFromASpreadsheet: other separators, units and decimals, columns in another order, fractions.
func TestTablesFromASpreadsheet(t *testing.T) {
	const pulled = `2 {"kind":"pull","draw":18,"peak":31.5,"from":"line","upper":[0.375],"lower":[0.5]}` + "\n"
	for _, c := range []struct{ name, table, want string }{
		{"another order", "upper 6,LOWER 6,Peak,draw,Kind\n3/8,0.5,31.5,18,Pull\n", pulled},
		{"semicolons", "kind;draw (cm);Peak(LB);upper  6;lower6 (mm);where;moisture content\n" +
			"pull;45,72;31,5;0,375;12,7;;\nmoisture;;;;;Shop;0,12\n",
			pulled + `3 {"kind":"moisture","where":"shop","content":0.12}` + "\n"},
		{"tabs, units in the cells", "kind\tdraw\tpeak (lb)\tupper 6.0 (cm)\tlower 6\n" +
			"pull\t45.72cm\t31 1/2 lb\t.9525\t12.7mm\n", pulled},
		{"times", "time,kind,pulls\n2027-01-10T09:30:00-01:30,exercise,4.00\n2027-01-10 09:30:00,exercise,4\n" +
			"2027-01-10,exercise,4\n", `2 {"at":"2027-01-10T11:00:00Z","kind":"exercise","pulls":4}
3 {"at":"2027-01-10T08:30:00Z","kind":"exercise","pulls":4}
4 {"at":"2027-01-09T23:00:00Z","kind":"exercise","pulls":4}
`},
		{"a block", "kind,block,upper 10,upper 8,entry\nbraced,,,5.5,a\nblock,6,0.11,0.1,a\nblock,6,0.1,,\n",
			`2 {"id":"a","kind":"braced","from":"string","upper":[null,5.5],` +
				`"block":{"length":6,"at":[8,10],"upper":[0.1,0.11]}}
3 {"id":"a","kind":"braced","from":"string","block":{"length":6,"at":[8,10],"upper":[0.1,0.11]}}
4 {"kind":"braced","from":"string","block":{"length":6,"at":[10],"upper":[0.1]}}
`},
		{"mark of UTF-8", "\ufeffkind,draw,,\r\npull,18,,\r\n,,,\r\n",
			`2 {"kind":"pull","draw":18,"from":"line"}` + "\n"},
	} {
		if got := told(t, c.table); got != c.want {
			t.Errorf("%s: got\n%swant\n%s", c.name, got, c.want)
		}
	}
}

// TestWhatATableRefuses says which line and column, and what was expected.
func TestWhatATableRefuses(t *testing.T) {
	known := strings.Join(Kinds(), ", ")
	for _, c := range []struct{ table, want string }{
		{"", "it is empty: give a table (CSV) whose first row names the columns"},
		{"kind,tool\nscrape,R\xe4spel\n", "it isn't in UTF-8; save it as a table (CSV) in UTF-8"},
		{"kind,colour\n", `no column is called "colour"; rename it or take it out, see bendbook help table`},
		{"kind,draw (lb)\n", `no column is called "draw (lb)"; rename it or take it out, see bendbook help table`},
		{"kind,tool (in)\n", `no column is called "tool (in)"; rename it or take it out, see bendbook help table`},
		{"draw,peak\n18,31\n",
			"the column kind is missing: write headings such as time, kind, draw, peak, upper 6"},
		{"kind,draw,Draw (cm)\n",
			`the columns "draw" and "Draw (cm)" would both be the draw (in): leave out one`},
		{"kind,draw\n\"pull,18\n", "line 2: extraneous or missing \" in quoted-field: save it as CSV again"},
		{"kind,draw\npull,eighteen\n",
			"2 refused: draw: not a measure: \"eighteen\"; a length is written 6 3/8, 6-3/8, 6.375, 6⅜ or 162mm\n"},
		{"kind,draw\npull,\n", "2 refused: draw: missing: write a number of in\n"},
		{"kind,draw,upper 9\npull,18,1\n",
			"2 refused: upper 9: the bow has no station there: write 6 8 12\n"},
		{"kind,upper 6 (in),upper 6.0\n",
			`the columns "upper 6 (in)" and "upper 6.0" would both be the upper 6: leave out one`},
		{"kind,draw,upper 6\npull,18,20\n",
			"2 refused: upper 6: 20 is beyond the bow: at 6 in it can be 6 in at most\n"},
		{"kind,draw\njump,18\n", "2 refused: kind: \"jump\" isn't one: write " + known + "\n"},
		{"kind,draw\n,18\n", "2 refused: kind: \"\" isn't one: write " + known + "\n"},
		{"kind,draw,note\npull,18,damp\n",
			"2 refused: note: \"damp\" in a row of the kind pull: empty the cell\n"},
		{"kind,pulls,upper 6\nexercise,4,1\n",
			"2 refused: upper 6: \"1\" in a row of the kind exercise: empty the cell\n"},
		{"kind,limb,from,to\nscrape,middle,4,8\n",
			"2 refused: limb: \"middle\" isn't a limb: write upper or lower\n"},
		{"kind,time,draw\npull,10.01.2027,18\n", "2 refused: time: \"10.01.2027\" isn't a time: " +
			"write one like 2027-01-10T09:30:00+01:00, or a day like 2027-01-10\n"},
		{"kind,time,draw,entry\npull,2027-01-10 09:30:00,18,a\npull,2027-01-10 09:30,18,\n",
			"2 refused: time: it has lost its time zone; write it like 2027-01-10T09:30:00+01:00, " +
				"or leave entry empty if the row is new\n" +
				`3 {"at":"2027-01-10T08:30:00Z","kind":"pull","draw":18,"from":"line"}` + "\n"},
		{"kind,draw\npull,18,4\n",
			"2 refused: no heading: \"4\" in a row of the kind pull: empty the cell\n"},
		{"kind,entry,draw\npull,a,18\npull,a,20\n", `2 {"id":"a","kind":"pull","draw":18,"from":"line"}` +
			"\n3 refused: entry: line 2 has it already; leave it empty for a new entry\n"},
		{"kind,entry,block,upper 8\nblock,a,6,0.1\nblock,a,6,0.2\n",
			`2 {"id":"a","kind":"braced","from":"string","block":{"length":6,"at":[8],"upper":[0.1]}}` +
				"\n3 refused: entry: line 2 has it already; leave it empty for a new entry\n"},
		{"kind,pulls\nexercise,2.5\n", "2 refused: pulls: 2.5 isn't a count: write a whole number\n"},
		{"kind,draw,measured to\npull,18,nock\n",
			"2 refused: measured to: \"nock\" is nothing to measure from: write line or string\n"},
	} {
		if got := told(t, c.table); got != c.want {
			t.Errorf("%q: got\n%swant\n%s", c.table, got, c.want)
		}
	}
}

// FuzzRead: any file is told of or refused, and what is taken is a thing that can be.
func FuzzRead(f *testing.F) {
	f.Add("time,kind,draw (in),peak (lb),upper 6,lower 6,entry\n2027-01-10,pull,18,31.4,0.375,0.5,'=1\n")
	f.Add("kind;block;upper 6;entry\nbraced;;5;a\nblock;6;0,1;a\nblock;6;0.2;a\n")
	f.Add("kind\tdraw\tpeak\n18\t\"31\n")
	f.Fuzz(func(t *testing.T, file string) {
		bow := longbow()
		taken, err := Read(strings.NewReader(file), bow, time.UTC)
		if err != nil {
			return
		}
		entries, _ := taken.Entries()
		for _, entry := range entries {
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
