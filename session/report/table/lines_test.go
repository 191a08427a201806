package table

import (
	"bytes"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/booktest"
)

// TestABookReadsBackEqualFromJSONLines brings random books, of bows with random texts, out as JSON Lines and
// into another book, which then writes the same to the letter.
func TestABookReadsBackEqualFromJSONLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var file bytes.Buffer
		for n := range rapid.IntRange(0, 4).Draw(t, "bows") {
			g := newGenerator(t)
			g.bow.ID, g.bow.Name, g.bow.Wood, g.bow.Order.For = fmt.Sprintf("%s%d", g.text("id"), n), g.text("name"), g.text("wood"), g.text("for")
			if err := record.WriteLine(&file, g.record()); err != nil {
				t.Fatal(err)
			}
		}
		out := func(in []byte) []byte {
			shop := session.Open(booktest.New(), session.Options{})
			if len(in) > 0 {
				if err := shop.Import(bytes.NewReader(in), func(session.Imported) {}); err != nil {
					t.Fatalf("%v\n%s", err, in)
				}
			}
			var file bytes.Buffer
			if err := shop.ExportAll(func(rec record.Record) error { return record.WriteLine(&file, rec) }); err != nil {
				t.Fatal(err)
			}
			return file.Bytes()
		}
		first := out(file.Bytes())
		if second := out(first); !bytes.Equal(first, second) {
			t.Fatalf("it came out as\n%s\nand then as\n%s", first, second)
		}
		if want := bytes.Count(file.Bytes(), []byte("\n")); bytes.Count(first, []byte("\n")) != want {
			t.Fatalf("%d bows went in and %d came out", want, bytes.Count(first, []byte("\n")))
		}
	})
}
