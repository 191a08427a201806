package shop_test

import (
	"errors"
	"strings"
	"testing"

	"bendbook/model/record"
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
		_, err := w.Find(name)
		must(t, err)
	}
	var out strings.Builder
	err = w.ExportAll(func(rec record.Record) error { return record.WriteLine(&out, rec) })
	if !errors.Is(err, errDamaged) || !strings.Contains(err.Error(), "Broken") {
		t.Errorf("exporting all: %v", err)
	}
	if n := strings.Count(out.String(), "\n"); n != 1 || !strings.Contains(out.String(), `"Whole"`) {
		t.Errorf("exported %d records:\n%s", n, out.String())
	}
}

// A bow whose cached row is sound shows its damage once somebody tries to read it, until it can be read
// again.
func TestDamageShowsOnceItIsFound(t *testing.T) {
	w, bench := atBench(t, pull(18, 22))
	id := bench.Story().Bow().ID
	row := func(stage string) {
		t.Helper()
		rows, err := w.Rack()
		if err != nil || len(rows) != 1 || rows[0].Stage != stage || errors.Is(rows[0].Damage, errDamaged) != (stage == "damaged") {
			t.Errorf("the rack is %+v (%v), want one row that is %s", rows, err, stage)
		}
	}
	row("long string")
	w.book.Damage = map[string]error{id: errDamaged}
	if _, err := w.Bench(id); !errors.Is(err, errDamaged) {
		t.Errorf("the damaged bow came to the bench: %v", err)
	}
	row("damaged")
	w.book.Damage = nil
	_, err := w.Bench(id)
	must(t, err)
	row("long string")
}
