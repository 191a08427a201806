package shop_test

import (
	"errors"
	"strings"
	"testing"

	"bendbook/model/record"
	"bendbook/session/shop"
)

var errDamaged = errors.New("the checksum of an entry is wrong")

// What is wrong with one bow keeps no other from being listed, found or exported.
func TestADamagedBowHidesNoOther(t *testing.T) {
	w := newWorkshop(1)
	whole, damaged := ash(), ash()
	whole.Name, damaged.Name = "Whole", "Broken"
	w.add(t, w.bench(t, whole), pull(18, 22))
	bench := w.bench(t, damaged)
	w.add(t, bench, pull(18, 22))
	w.book.Damage = map[string]error{bench.Story().Bow().ID: errDamaged}

	rows, err := w.Rack()
	if err != nil || len(rows) != 2 {
		t.Fatalf("the rack has %d rows (%v)", len(rows), err)
	}
	for _, row := range rows {
		if isDamaged := row.Bow.Name == "Broken"; isDamaged != errors.Is(row.Damage, errDamaged) || isDamaged != (row.Stage == "damaged") {
			t.Errorf("%s: stage %q, damage %v", row.Bow.Name, row.Stage, row.Damage)
		}
	}
	for _, name := range []string{"whole", "broken"} {
		if _, err := w.Find(name); err != nil {
			t.Errorf("finding %s: %v", name, err)
		}
	}
	var out strings.Builder
	err = w.ExportAll(func(rec record.Record) error { return record.WriteLine(&out, rec) })
	if !errors.Is(err, errDamaged) || !strings.Contains(err.Error(), "Broken") {
		t.Errorf("exporting all: %v", err)
	}
	if n := strings.Count(out.String(), "\n"); n != 1 || !strings.Contains(out.String(), `"Whole"`) {
		t.Errorf("exported %d records:\n%s", n, out.String())
	}
	if _, err := w.Story(rows[0].Bow.ID); err != nil && !errors.Is(err, errDamaged) {
		t.Error(err)
	}
	if _, err := w.Find("nobody"); !errors.Is(err, shop.ErrNoBow) {
		t.Errorf("finding nobody: %v", err)
	}
}

// A bow whose cached row is sound shows its damage once somebody tries to read it, until it can be read
// again.
func TestDamageShowsOnceItIsFound(t *testing.T) {
	w, bench := atBench(t, pull(18, 22))
	id := bench.Story().Bow().ID
	row := func() shop.Row {
		t.Helper()
		rows, err := w.Rack()
		if err != nil || len(rows) != 1 {
			t.Fatal(rows, err)
		}
		return rows[0]
	}
	row()
	w.book.Damage = map[string]error{id: errDamaged}
	if _, err := w.Bench(id); !errors.Is(err, errDamaged) {
		t.Errorf("the damaged bow came to the bench: %v", err)
	}
	if got := row(); !errors.Is(got.Damage, errDamaged) || got.Stage != "damaged" {
		t.Errorf("stage %q, damage %v", got.Stage, got.Damage)
	}
	w.book.Damage = nil
	if _, err := w.Bench(id); err != nil {
		t.Error(err)
	}
	if got := row(); got.Damage != nil || got.Stage != "long string" {
		t.Errorf("stage %q, damage %v", got.Stage, got.Damage)
	}
}
