package demo

import (
	"bytes"
	"io"
	"testing"
	"time"
	_ "time/tzdata" // the zones are known on a system without them too

	"bendbook/model/record"
)

func newest(recs []record.Record) time.Time {
	var at time.Time
	for _, rec := range recs {
		for _, item := range rec.Items {
			if item.Entry.At.After(at) {
				at = item.Entry.At
			}
		}
	}
	return at
}

func TestTheNewestEntryIsOfTheDayBeforeWhereverItIsOpened(t *testing.T) {
	first := open(t, bytes.NewReader(shop))
	for _, now := range []time.Time{
		someDay,
		time.Date(2028, time.March, 1, 0, 0, 0, 0, time.UTC), // the day before is a leap day
		time.Date(2026, time.January, 1, 23, 59, 59, 0, time.UTC),
		time.Date(2027, time.June, 1, 1, 0, 0, 0, time.FixedZone("east", 14*3600)),
		time.Date(2027, time.June, 1, 22, 0, 0, 0, time.FixedZone("west", -11*3600)),
		time.Date(2020, time.May, 5, 12, 0, 0, 0, time.UTC), // a clock that is set wrong
	} {
		recs := open(t, Records(now))
		year, month, day := newest(recs).In(now.Location()).Date()
		yesterday := time.Date(now.Year(), now.Month(), now.Day()-1, 0, 0, 0, 0, time.UTC)
		if got := time.Date(year, month, day, 0, 0, 0, 0, time.UTC); !got.Equal(yesterday) {
			t.Errorf("opened at %v the newest entry is of %v", now, newest(recs))
		}
		by := newest(recs).Sub(newest(first))
		if by%(24*time.Hour) != 0 {
			t.Errorf("opened at %v entries move by %v, which are no whole days", now, by)
		}
		for i, rec := range recs {
			was, _ := first[i].Bow.Order.Due.Time()
			if due, isDay := rec.Bow.Order.Due.Time(); !isDay || due.Sub(was) != by {
				t.Errorf("opened at %v %s is due on %s, not moved by %v", now, rec.Bow.Name, rec.Bow.Order.Due, by)
			}
			for j, item := range rec.Items {
				if was := first[i].Items[j].Entry; item.Entry.At.Sub(was.At) != by || item.Entry.ID != was.ID {
					t.Errorf("opened at %v entry %s moves by %v, others by %v", now, was.ID, item.Entry.At.Sub(was.At), by)
				}
			}
		}
	}
}

// Half an hour before midnight in winter is half an hour after it in summer time.
func TestClocksPutOnDontMoveTheNewestEntryIntoToday(t *testing.T) {
	summer, err := time.LoadLocation("Europe/Berlin")
	must(t, err)
	late := time.Date(2025, time.December, 1, 22, 30, 0, 0, time.UTC)
	now := time.Date(2026, time.July, 10, 9, 0, 0, 0, summer)
	moved := late.AddDate(0, 0, daysToYesterday(late, now)).In(summer)
	if moved.Day() != 9 || moved.Month() != time.July {
		t.Errorf("it moves to %v", moved)
	}
}

// On the day after its newest entry the shop is the file as it stands: moving it loses nothing.
func TestMovingByNoDaysChangesNothing(t *testing.T) {
	now := newest(open(t, bytes.NewReader(shop))).AddDate(0, 0, 1)
	b, err := io.ReadAll(Records(now))
	must(t, err)
	if !bytes.Equal(b, shop) {
		t.Error("the records differ from the file")
	}
}

func TestAForeignFileIsAnError(t *testing.T) {
	if _, err := moved([]byte(`{"format":"something else"}`), someDay); err == nil {
		t.Error("it was taken")
	}
}
