package session_test

import (
	"bytes"
	"strings"
	"testing"

	"bendbook/session"
)

// A record that describes a bow of the book otherwise, with no entry that says why, changes nothing and is told of.
func TestARecordThatDescribesABowOtherwiseIsToldOf(t *testing.T) {
	w := newWorkshop(1)
	bench := w.bench(t, ash())
	w.add(t, bench, pull(18, 22))
	file := w.exported(t)
	imported := func(file string) (said string) {
		t.Helper()
		if err := w.Import(bytes.NewReader([]byte(file)), func(done session.Imported) { said = done.String() }); err != nil {
			t.Fatal(err)
		}
		return said
	}
	if said := imported(file); strings.Contains(said, "otherwise") {
		t.Errorf("its own record: %q", said)
	}
	renamed := strings.Replace(file, ash().Name, "Renamed by hand", 1)
	if said := imported(renamed); !strings.Contains(said, "described otherwise than in the book: the book's own stayed") {
		t.Errorf("a renamed record: %q", said)
	}
	// An older record lacks a change that the book has: nothing to tell.
	bow := bench.Story().Bow()
	bow.Name = "Ash for Lark"
	if err := bench.Redescribe(bow, ""); err != nil {
		t.Fatal(err)
	}
	if said := imported(file); strings.Contains(said, "otherwise") {
		t.Errorf("an older record: %q", said)
	}
	if story, err := w.Story(bow.ID); err != nil || story.Bow().Name != "Ash for Lark" {
		t.Errorf("the bow is %q (%v)", story.Bow().Name, err)
	}
}
