package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
)

func TestWhatIsReadIsWrittenAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		doc := encode(t, newGenerator(t).record(anyIDs))
		rec := parse(t, doc)
		out := written(t, rec)
		if got, want := meaning(t, out), meaning(t, doc); !reflect.DeepEqual(got, want) {
			t.Fatalf("read\n%s\nwritten\n%s", doc, out)
		}
		again := parse(t, out)
		if !reflect.DeepEqual(again, rec) {
			t.Fatalf("read\n%+v\nread again\n%+v", rec, again)
		}
		if twice := written(t, again); !bytes.Equal(twice, out) {
			t.Fatalf("written\n%s\nwritten again\n%s", out, twice)
		}
	})
}

func TestWriteLineSaysTheSameOnOneLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := newGenerator(t)
		var docs []any
		var lines bytes.Buffer
		for range 2 {
			doc := encode(t, g.record(anyIDs))
			docs = append(docs, meaning(t, doc))
			check(t, WriteLine(&lines, parse(t, doc)))
		}
		if n := bytes.Count(lines.Bytes(), []byte("\n")); n != 2 || !bytes.HasSuffix(lines.Bytes(), []byte("\n")) {
			t.Fatalf("two records on %d lines:\n%s", n, lines.Bytes())
		}
		for i, line := range bytes.Split(bytes.TrimSpace(lines.Bytes()), []byte("\n")) {
			if got := meaning(t, line); !reflect.DeepEqual(got, docs[i]) {
				t.Fatalf("line %d says %v, want %v", i+1, got, docs[i])
			}
		}
		in := NewReader(io.MultiReader(strings.NewReader("\ufeff"), &lines)) // a byte order mark is passed over
		for range 2 {
			if _, err := in.Next(); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := in.Next(); !errors.Is(err, io.EOF) {
			t.Fatalf("after the last: %v", err)
		}
	})
}

func TestAnEntryMadeHereReadsBackTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := newGenerator(t)
		given, err := ParseItem(compact(encode(t, g.entry())), g.units)
		check(t, err)
		given.Entry.ID, given.Entry.At = "made here", given.Entry.At.UTC()
		made, err := NewItem(given.Entry, g.units)
		check(t, err)
		back, err := ParseItem(made.Doc, g.units)
		if err != nil {
			t.Fatalf("%v\n%s", err, made.Doc)
		}
		if !back.Entry.At.Equal(given.Entry.At) {
			t.Fatalf("at %v reads back as %v", given.Entry.At, back.Entry.At)
		}
		if !reflect.DeepEqual(back.Entry.What, given.Entry.What) || back.Entry.ID != "made here" {
			t.Fatalf("made\n%+v\nread back\n%+v\n%s", given.Entry, back.Entry, made.Doc)
		}
		if bytes.ContainsAny(made.Doc, "\n") || !bytes.Equal(back.Doc, made.Doc) {
			t.Fatalf("the document is not compact: %s", made.Doc)
		}
	})
}

func TestTheExampleOfTheFormatReads(t *testing.T) {
	doc, err := os.ReadFile(filepath.Join("..", "..", "testdata", "record", "example.json"))
	check(t, err)
	rec := parse(t, doc)
	if got := written(t, rec); !reflect.DeepEqual(meaning(t, got), meaning(t, doc)) {
		t.Errorf("written again:\n%s", got)
	}
	bow := rec.Bow
	if bow.Length() != 71 || bow.Aim.Tiller != measure.Some[measure.Length](.25) ||
		bow.Order.Weight != measure.Some[measure.Force](40) {
		t.Errorf("the bow is %+v", bow)
	}
	if len(bow.Limbs[model.Lower].Stations) != 9 || bow.Limbs[model.Lower].Stations[8] != 33 ||
		bow.Limbs[model.Upper].Widths != nil {
		t.Errorf("the lower limb is %+v", bow.Limbs[model.Lower])
	}
	var kinds []string
	for _, item := range rec.Items {
		kinds = append(kinds, string(item.Entry.What.Kind()))
	}
	if got := strings.Join(kinds, " "); got != "relaxed string braced pull scrape exercise finish note void" {
		t.Errorf("the entries are %s", got)
	}
	relaxed := rec.Items[0].Entry.What.(model.Relaxed).Readings
	if zero := relaxed.At(model.Upper, 0); zero != measure.Some[measure.Length](0) {
		t.Errorf("a reading of 0 is %v", zero)
	}
	if relaxed.At(model.Upper, 2).Known() || relaxed.At(model.Upper, 8).Known() {
		t.Error("null and what a short list leaves out are no readings")
	}
	scrape := rec.Items[4].Entry.What.(model.Scrape)
	if scrape.Strokes != measure.Some(12) || scrape.Depth != measure.Some[measure.Length](.01) ||
		scrape.DepthShare.Known() {
		t.Errorf("the scrape is %+v", scrape)
	}
	if block := rec.Items[2].Entry.What.(model.Braced).Block; block == nil ||
		block.Gaps.At(model.Upper, 2) != measure.Some[measure.Length](.09) {
		t.Errorf("the block is %+v", block)
	}
}

func TestUnitsTurnIntoInchesAndPounds(t *testing.T) {
	doc := `{"kind": "pull", "draw": 71.12, "peak": 177.92886461042, "upper": [2.54, null]}`
	item, err := ParseItem(json.RawMessage(doc), measure.Units{Length: measure.Centimetre,
		Force: measure.Newton})
	check(t, err)
	pull := item.Entry.What.(model.Pull)
	// 28 in are 71.12 cm; 40 lbf are 40 × 4.4482216152605 N (NIST SP 811, from memory).
	near := func(got, want float64) bool { return got > want-1e-12*want && got < want+1e-12*want }
	if !near(float64(pull.Draw), 28) || !near(float64(pull.Peak.Or(0)), 40) ||
		!near(float64(pull.Readings.At(model.Upper, 0).Or(0)), 1) {
		t.Errorf("the pull is %+v", pull)
	}
	if pull.From != model.FromLine {
		t.Errorf("a pull that names no datum is read from %q", pull.From)
	}
}
