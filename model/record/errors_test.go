package record

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"bendbook/model"
)

// small is a record with the given entries.
func small(entries string) string {
	return `{"format": "bendbook/record", "version": 1, "units": {"length": "in", "force": "lbf"}, ` +
		`"bow": {"id": "b", "name": "n", "limbs": {` +
		`"upper": {"length": 34, "stations": [6, 8, 12]}, "lower": {"length": 33, "stations": [6, 8, 12]}}}, "entries": [` + entries + `]}`
}

// changed is a record without entries and with one text in place of another.
func changed(from, to string) string { return strings.Replace(small(""), from, to, 1) }

func TestABrokenRecordNamesTheFieldAndWhatWasExpected(t *testing.T) {
	for _, c := range []struct{ name, doc, want string }{
		{"empty", "", "it is empty: give a bow record"},
		{"no JSON", "bow: ash", "it is not JSON at byte 1"},
		{"truncated", small("")[:80], "it ends in the middle of a bow record"},
		{"a list", "[]", "give a bow record, a JSON object"},
		{"foreign", `{"units": 5, "version": "x"}`, `format: "" is not a bow record: write "bendbook/record"`},
		{"other format", changed("bendbook/record", "bendbook/stave"), `format: "bendbook/stave" is not a bow record`},
		{"no version", changed(`"version": 1, `, ""), "version: write 1"},
		{"version in parts", changed(`"version": 1`, `"version": 1.5`), "version: found the number 1.5: write a whole number"},
		{"no units", changed(`"units": {"length": "in", "force": "lbf"}, `, ""), `units: missing: write {"length": "in", "force": "lbf"}`},
		{"a unit a number", changed(`"force": "lbf"`, `"force": 1`), "units.force: found a number: write text"},
		{"unknown unit", changed(`"length": "in"`, `"length": "ft"`), `units.length: "ft" isn't a unit of length here: write in, cm or mm`},
		{"no bow", changed(`"bow"`, `"stave"`), "bow: missing: give an object"},
		{"no limbs", changed(`"limbs"`, `"arms"`), "bow.limbs: missing: write upper and lower"},
		{"no lower limb", changed(`"lower"`, `"other"`), "bow.limbs.lower.length: missing"},
		{"length a text", changed(`"length": 34`, `"length": "34"`), "bow.limbs.upper.length: found a string: write a number"},
		{"beyond all numbers", changed(`"length": 34`, `"length": 1e999`), "bow.limbs.upper.length: 1e999 is beyond any measure: write a number"},
		{"null station", changed("[6, 8, 12]", "[6, null]"), "bow.limbs.upper.stations[1]: missing: write a number of in"},
		{"station a text", changed("[6, 8, 12]", `[6, "8"]`), "bow.limbs.upper.stations[1]: found a string: write a number"},
		{"stations no list", changed("[6, 8, 12]", "6"), "bow.limbs.upper.stations: found a number: write a list"},
		{"stations that turn back", changed("[6, 8, 12]", "[6, 8, 7]"), "bow.limbs.upper.stations[2]: go out from the handle"},
		{"station beyond the limb", changed("[6, 8, 12]", "[6, 1e300]"), "bow.limbs.upper.stations[1]: 1e+300 lies beyond the limb's 34 in"},
		{"due no day", changed(`"id": "b"`, `"id": "b", "order": {"due": "soon"}`), "bow.order.due: type a day like 2027-02-01"},
		{"a rule too coarse", changed(`"id": "b"`, `"id": "b", "readings": {"rule": 50}`), "bow.readings.rule: type the rule's finest mark, above 0, 2 in at most"},
		{"field twice", changed(`"id": "b"`, `"id": "b", "id": "c"`), "bow.id: it stands twice: write each field once"},
		{"a long s", changed(`"stations": [6, 8, 12]`, `"ſtations": [6]`), `bow.limbs.upper."ſtations": write it stations`},
		{"strange field twice", changed(`"id": "b"`, `"id": "b", "x": [0, {"\u001b[2J": 1, "\u001b[2J": 2}]`), `bow.x[1]."\x1b[2J": it stands twice`},
		{"entries no list", strings.Replace(small(""), "[]}", "{}}", 1), "entries: write a list of entries"},
		{"entry no object", small(`7`), "entries[0]: give an object with the field kind"},
		{"no kind", small(`{"text": "x"}`), "entries[0].kind: missing: write pull, braced"},
		{"kind too long", small(`{"kind": "` + strings.Repeat("k", 300) + `"}`), "entries[0].kind: it is longer than 200 bytes"},
		{"id twice", small(`{"id": "a", "kind": "note"}, {"id": "a", "kind": "note"}`), `entries[1].id: "a" stands twice`},
		{"no time", small(`{"kind": "note", "at": "yesterday"}`), `entries[0].at: "yesterday" isn't a time: write one like 2027-01-10T09:00:00Z`},
		{"no draw", small(`{"kind": "pull"}`), "entries[0].draw: missing: write a number of in"},
		{"reading beyond the bow", small(`{"kind": "pull", "draw": 20, "upper": [1, 81]}`), "entries[0].upper[1]: 81 is beyond the bow: at 8 in it can be 8 in at most"},
		{"datum", small(`{"kind": "braced", "from": "wall"}`), `entries[0].from: "wall" is nothing to measure from: write line or string`},
		{"block's length", small(`{"kind": "braced", "block": {}}`), "entries[0].block.length: missing"},
		{"limb", small(`{"kind": "scrape", "limb": "left", "from": 1, "to": 2}`), `entries[0].limb: "left" isn't a limb: write upper or lower`},
		{"half a stroke", small(`{"kind": "scrape", "limb": "upper", "from": 1, "to": 2, "strokes": 1.5}`), "entries[0].strokes: 1.5 isn't a count: write a whole number"},
		{"void of nothing", small(`{"kind": "void"}`), "entries[0].entry: missing"},
		{"edit of nothing", small(`{"kind": "bow"}`), "entries[0].set: give an object"},
		{"edit of the id", small(`{"kind": "bow", "set": {"id": "c"}}`), "entries[0].set.id: a bow keeps its id"},
		{"edit with a wrong type", small(`{"kind": "bow", "set": {"limbs": {"upper": {"length": "x"}}}}`), "entries[0].set.limbs.upper.length: found a string"},
		{"rack", small(`{"kind": "rack"}`), "entries[0].in_hand: missing: write true or false"},
		{"no UTF-8", changed(`"name": "n"`, "\"name\": \"\xff\""), "it is not UTF-8 text"},
		{"NUL bytes", "\x00\x00\x00\x00", `it is not JSON at byte 1 (invalid character '\x00'`},
		{"nested 5,000 deep", changed(`"id": "b"`, `"id": "b", "x": `+strings.Repeat(`{"x":`, 5000)+"1"+strings.Repeat("}", 5000)), "bow.x.x.x.x.x.x.x…: it is nested too deep: write 64 levels at most"},
		{"a number of 100,000 digits", changed(`"length": 34`, `"length": `+strings.Repeat("9", 100_000)), "bow.limbs.upper.length: 9999999999999999999999999999999999999999… is beyond any measure"},
		{"a unit of 100,000 letters", changed(`"length": "in"`, `"length": "`+strings.Repeat("m", 100_000)+`"`), "units.length: \"mmmmmmmmmmmmmmmmmmmm\" isn't a unit"},
		{"the second record", small("") + "\n" + changed(`"version": 1`, `"version": 0`), "record 2: version: write 1"},
		{"the second cut short", small("") + "\n{", "record 2: it ends in the middle of a bow record"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := readAll(c.doc)
			if err == nil {
				t.Fatal("it was taken")
			}
			if !strings.HasPrefix(err.Error(), c.want) {
				t.Errorf("%v\nwant %s", err, c.want)
			}
			if errors.Is(err, errNewer) {
				t.Error("it is said to be newer")
			}
			checkMessage(t, err)
		})
	}
}

func TestANewerRecordIsKnownAsOne(t *testing.T) {
	for _, doc := range []string{
		changed(`"version": 1`, `"version": 2`),
		`{"format": "bendbook/record", "version": 3, "units": "metric", "bow": [], "entries": {"a": 1, "a": 2}}`,
	} {
		err := readAll(doc)
		if !errors.Is(err, errNewer) {
			t.Fatalf("%v does not wrap errNewer", err)
		}
		if !strings.HasPrefix(err.Error(), "version: ") || !strings.Contains(err.Error(), "newer Bendbook") {
			t.Errorf("%v", err)
		}
		checkMessage(t, err)
	}
}

// readAll reads every record of a file and returns the first error.
func readAll(file string) error {
	in := NewReader(strings.NewReader(file))
	for {
		switch _, err := in.Next(); {
		case err == nil:
		case err.Error() == "EOF":
			return nil
		default:
			return err
		}
	}
}

// checkMessage looks at what each message must be: one short line that no terminal trips over.
func checkMessage(t *testing.T, err error) {
	t.Helper()
	text := err.Error()
	steers := func(r rune) bool { return r < ' ' || r == 0x7f }
	if len(text) > 400 || !utf8.ValidString(text) || strings.ContainsFunc(text, steers) {
		t.Errorf("the message is %q", text)
	}
}

// Megabytes must be read or refused in one go, whatever they are; go test's own limit stands guard over the
// time.
func TestMegabytesAreReadOrRefused(t *testing.T) {
	fill := func(size int, piece string) string {
		return strings.TrimSuffix(strings.Repeat(piece, size/len(piece)), ",")
	}
	const large, many = 10 << 20, 256 << 10 // bytes of one value, of many small ones
	for _, c := range []struct {
		name, doc string
		taken     bool
	}{
		{"entries", small(fill(many, `{"kind":"exercise","pulls":10},`)), true},
		{"a strange text", changed(`"id": "b"`, `"id": "b", "photo": "`+fill(large, "0123456789abcdef")+`"`), true},
		{"strange numbers", changed(`"id": "b"`, `"id": "b", "x": [`+fill(many, "1,")+`]`), true},
		{"a note", small(`{"kind": "note", "text": "` + fill(large, "a") + `"}`), false},
		{"readings", small(`{"kind": "relaxed", "upper": [` + fill(many, "0,") + `]}`), false},
		{"places of a block", small(`{"kind": "braced", "block": {"length": 6, "at": [` + fill(many, "4,") + `]}}`), false},
		{"edits", small(fill(many, `{"kind":"bow","set":{"name":"m"}},`)), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			rec, err := Parse([]byte(c.doc))
			if taken := err == nil; taken != c.taken {
				t.Fatalf("taken is %v: %v", taken, err)
			}
			if err != nil {
				checkMessage(t, err)
				return
			}
			var b bytes.Buffer
			if err := Write(&b, rec); err != nil || b.Len() < many {
				t.Errorf("written: %d bytes, %v", b.Len(), err)
			}
		})
	}
}

func TestStrangeFieldsAreNamedAsTheyLike(t *testing.T) {
	const strange = `"Source":{"ID":7,"id":8,"Limbs":[{"Length":1}]}`
	rec := parse(t, []byte(changed(`"id": "b"`, `"id": "b", `+strange)))
	if !strings.Contains(string(rec.Doc), strange) {
		t.Errorf("kept as %s", rec.Doc)
	}
}

func TestAnEditThatLeavesNoBowDoesNotBarTheRecord(t *testing.T) {
	// Two books that lived apart may have edits that contradict each other. Merged, one of them has no effect.
	rec, err := Parse([]byte(small(`{"kind": "bow", "set": {"limbs": {"upper": {"length": 10}}}}`)))
	check(t, err)
	if _, err := rec.Edited(rec.Items[0].Entry.What.(model.Edit)); err == nil {
		t.Error("a limb of 10 in has a station at 12")
	}
}

func TestABowThatWasCutDownKeepsItsEarlierReadings(t *testing.T) {
	// The record describes the bow as it is now: limbs of 34 and 33 in. When they were longer the scrape reached
	// 35 in.
	const scrape = `{"kind": "scrape", "limb": "upper", "from": 30, "to": 35}, `
	const shorter = scrape + `{"kind": "bow", "set": {"limbs": {"upper": {"length": 34}}}}`
	check(t, readAll(small(shorter)))
	for what, entries := range map[string]string{
		"a scrape at 350 in":                          strings.Replace(shorter, "35", "350", 1),
		"a scrape beyond a bow that was only renamed": scrape + `{"kind": "bow", "set": {"name": "m"}}`,
	} {
		if err := readAll(small(entries)); err == nil || !strings.HasPrefix(err.Error(), "entries[0].to: ") {
			t.Errorf("%s: %v", what, err)
		}
	}
}
