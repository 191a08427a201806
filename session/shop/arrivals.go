package shop

import (
	"bytes"
	"cmp"
	"regexp"
	"slices"
	"strconv"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
)

// Arrivals are entries from a file, looked at and not kept yet.
type Arrivals struct {
	Are    []arrival // of each entry, in their order
	New    int       // how many the book lacks
	Differ int       // how many would contradict it

	add []record.Item
}

// arrival says what an entry that comes from a file would be in the book.
type arrival int

const (
	isNew   arrival = iota // the book lacks it
	isKnown                // the book has it
	differs                // the book has an entry of its id that says something else, and keeps its own
)

// Look finds out what entries from a file would be in the bow's book. One without an id is recognised by what
// it says; one without a time follows the one before it, or what is in the book. The error says why an entry
// can't be one of this bow.
func (b *Bench) Look(entries []model.Entry) (Arrivals, error) {
	// A spreadsheet may have sorted the rows anew: their times say in which order things happened.
	order := make([]int, len(entries))
	for i := range order {
		order[i] = i
	}
	sorted := func(e model.Entry) bool { return e.ID != "" || e.At.IsZero() }
	if !slices.ContainsFunc(entries, sorted) {
		slices.SortStableFunc(order, func(i, j int) int { return entries[i].At.Compare(entries[j].At) })
	}
	come, err := b.asItems(entries, order)
	if err != nil {
		return Arrivals{}, err
	}
	have := b.story.Record().Items
	arrivals := Arrivals{Are: make([]arrival, len(entries))}
	var fresh []record.Item
	if len(have) > 0 && len(come) > 0 && come[0].Entry.At.IsZero() {
		if _, isULID := record.KeyOf(come[0].Entry.ID); !isULID {
			fresh = append(fresh, have[len(have)-1])
		}
	}
	for i, item := range come {
		mine, known := b.story.Line(item.Entry.ID)
		switch {
		case !known:
			arrivals.New++
			fresh = append(fresh, item)
			continue
		case b.sameEntry(mine.Entry, item.Entry):
			arrivals.Are[order[i]] = isKnown
		default:
			arrivals.Are[order[i]] = differs
			arrivals.Differ++
		}
		fresh = append(fresh, mine.Item)
	}
	arrivals.add, _ = record.Merge(have, fresh)
	return arrivals, nil
}

// asItems are the entries as items of this bow, in the given order, each with an id.
func (b *Bench) asItems(entries []model.Entry, order []int) ([]record.Item, error) {
	rec := record.Record{Description: b.story.Desc}
	for _, i := range order {
		item, err := record.NewItem(entries[i], b.story.Desc.Bow.Units)
		if err != nil {
			return nil, err
		}
		rec.Items = append(rec.Items, item)
	}
	var doc bytes.Buffer
	if err := record.WriteLine(&doc, rec); err != nil {
		return nil, err
	}
	// Reading it gives the ids, and checks every entry against the bow.
	read, err := record.Parse(doc.Bytes())
	return read.Items, err
}

// Keep writes the new entries that Look found into the book: all of them or none.
func (b *Bench) Keep(a Arrivals) error {
	if len(a.add) == 0 {
		return nil
	}
	return b.write("", a.add)
}

// sameEntry says whether two entries say the same, whatever else is in their documents.
func (b *Bench) sameEntry(one, other model.Entry) bool {
	units := b.story.Desc.Bow.Units
	one.What, other.What = Bare(one.What), Bare(other.What)
	x, err := record.NewItem(one, units)
	y, fault := record.NewItem(other, units)
	return err == nil && fault == nil && bytes.Equal(asSaved(x.Doc), asSaved(y.Doc))
}

var longNumber = regexp.MustCompile(`\d+\.\d{14,}`)

// asSaved is a document with its numbers in the 15 digits that a spreadsheet keeps.
func asSaved(doc []byte) []byte {
	return longNumber.ReplaceAllFunc(doc, func(text []byte) []byte {
		v, _ := strconv.ParseFloat(string(text), 64) // it is a number
		return strconv.AppendFloat(nil, v, 'g', 15, 64)
	})
}

// Bare is an event without what says nothing: unread stations at the end of a row, places with no gap.
func Bare(what model.Event) model.Event {
	switch e := what.(type) {
	case model.Relaxed:
		e.Readings = bareRows(e.Readings)
		return e
	case model.Pull:
		e.Readings = bareRows(e.Readings)
		return e
	case model.Braced:
		e.Readings = bareRows(e.Readings)
		if e.Block != nil {
			e.Block = bareBlock(*e.Block)
		}
		return e
	}
	return what
}

func bareRows(rows model.Readings) model.Readings {
	for side, row := range rows {
		for len(row) > 0 && !row[len(row)-1].Known() {
			row = row[:len(row)-1]
		}
		rows[side] = slices.Clone(row)
		for i, reading := range row {
			if l, known := reading.Get(); known {
				rows[side][i] = measure.Some(l + 0) // without the sign of a zero
			}
		}
	}
	return rows
}

func bareBlock(block model.Block) *model.Block {
	var places []int
	for i := range block.At {
		if block.Gaps.At(model.Upper, i).Known() || block.Gaps.At(model.Lower, i).Known() {
			places = append(places, i)
		}
	}
	slices.SortStableFunc(places, func(i, j int) int { return cmp.Compare(block.At[i], block.At[j]) })
	bare := model.Block{Length: block.Length}
	for _, i := range places {
		bare.At = append(bare.At, block.At[i])
		for _, side := range model.Sides {
			bare.Gaps[side] = append(bare.Gaps[side], block.Gaps.At(side, i))
		}
	}
	bare.Gaps = bareRows(bare.Gaps)
	return &bare
}
