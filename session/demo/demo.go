// Package demo holds an invented shop to look round in: five bows at different stages, with the readings of
// a few weeks at the tree.
//
// The shop, its customers and its bows are made up for this program. The readings were computed from
// computed staves, rough, unequal and too heavy, by the equations of the strung bow, and are worked by a
// bowyer who does what the verdict says: each scraping takes off about what was meant, each longer pull
// leaves a little more set, and what a rule, a gauge and a scale show has small errors and is rounded to
// their steps. The lower limb of "Ash for Wren" was made too stiff between 13 and 20 in, the upper between
// 15 and 22 in, where tools bite less; a slip of the scraper weakened "Yew for Hollis". The file
// stays as it was made: it is the record of those weeks, and the tests hold what its bows show.
//
// It must not know a book: it gives records, as any file would.
package demo

import (
	"bytes"
	_ "embed" // the shop's records
	"errors"
	"fmt"
	"io"
	"time"

	"bendbook/model"
	"bendbook/model/record"
)

// shop is the shop's records, one a line. The times in its ids are long past, so that whatever is added to
// a bow of the shop stands behind its entries.
//
//go:embed shop.jsonl
var shop []byte

// Records are the shop's records, one a line, every time and every promised day moved by one whole number
// of days, so that the newest entry lies on the day before now, where now is. Ids stay as they are.
func Records(now time.Time) io.Reader {
	b, err := moved(shop, now)
	if err != nil {
		panic(fmt.Sprintf("the demo shop's own records: %v", err)) // they are part of the program, and tested
	}
	return bytes.NewReader(b)
}

// moved is the file of records with its times moved.
func moved(file []byte, now time.Time) ([]byte, error) {
	var recs []record.Record
	var newest time.Time
	in := record.NewReader(bytes.NewReader(file))
	for {
		rec, err := in.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		for _, item := range rec.Items {
			if item.Entry.At.After(newest) {
				newest = item.Entry.At
			}
		}
		recs = append(recs, rec)
	}
	days := daysToYesterday(newest, now)
	var out bytes.Buffer
	for _, rec := range recs {
		rec, err := later(rec, days)
		if err != nil {
			return nil, err
		}
		if err := record.WriteLine(&out, rec); err != nil {
			return nil, err
		}
	}
	return out.Bytes(), nil
}

// daysToYesterday is by how many days of 24 hours t must move to lie on the day before now, as days are
// counted where now is.
func daysToYesterday(t, now time.Time) int {
	there := now.Location()
	days := between(t.In(there), now) - 1
	// Clocks may be put on or back on the way, and carry a time close to midnight over it.
	return days + between(t.AddDate(0, 0, days).In(there), now) - 1
}

// between is the number of days in the calendar from one time's day to another's.
func between(from, to time.Time) int {
	day := func(t time.Time) time.Time {
		year, month, day := t.Date()
		return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	}
	return int(day(to).Sub(day(from)) / (24 * time.Hour))
}

// later is the record with its times and the day that the bow is due moved by days.
func later(rec record.Record, days int) (record.Record, error) {
	bow := rec.Bow
	if due, isDay := bow.Order.Due.Time(); isDay {
		bow.Order.Due = model.Day(due.AddDate(0, 0, days).Format(time.DateOnly))
	}
	desc, err := record.Describe(bow)
	if err != nil {
		return record.Record{}, fmt.Errorf("%s: %w", bow.Name, err)
	}
	moved := record.Record{Description: desc, Items: make([]record.Item, len(rec.Items))}
	for i, item := range rec.Items {
		item.Entry.At = item.Entry.At.UTC().AddDate(0, 0, days)
		if moved.Items[i], err = record.NewItem(item.Entry, bow.Units); err != nil {
			return record.Record{}, fmt.Errorf("%s: %w", bow.Name, err)
		}
	}
	return moved, nil
}
