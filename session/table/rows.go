package table

import (
	"fmt"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// kindBlock is the kind of a row with the gaps under a straight block: an entry of its own in a table, where a record
// has them in that of the braced bow.
const kindBlock = "block"

// row is one row of a table before it has columns.
type row struct {
	fields   map[string]string
	stations map[station]string
}

// station is a place that a limb is read at.
type station struct {
	side model.Side
	at   measure.Length
}

// rowsOf are the rows that tell an entry; none for a kind that has no place in a table.
func rowsOf(bow model.Bow, entry model.Entry, place *time.Location) []row {
	w := rowWriter{bow.Units}
	head := row{fields: map[string]string{fieldKind: string(entry.What.Kind()), fieldEntry: defuse(entry.ID)}}
	if !entry.At.IsZero() {
		head.fields[fieldTime] = writeTime(entry.At, place)
	}
	set := func(field, value string) { head.fields[field] = value }
	switch e := entry.What.(type) {
	case model.Relaxed:
		head.stations = w.readings(bow, e.Readings)
	case model.StringLength:
		set(fieldString, w.length(e.Length))
	case model.Braced:
		return w.braced(bow, head, e)
	case model.Pull:
		set(fieldDraw, w.length(e.Draw))
		if peak, known := e.Peak.Get(); known {
			set(fieldPeak, decimal(peak.In(w.units.Force)))
		}
		if held, known := e.Held.Get(); known {
			set(fieldHeld, decimal(held.Seconds()))
		}
		set(fieldMeasured, string(e.From))
		head.stations = w.readings(bow, e.Readings)
	case model.Scrape:
		w.scraped(set, e)
	case model.Exercise:
		set(fieldPulls, fmt.Sprint(e.Pulls))
	case model.Finish:
		finished(set, e)
	case model.Moisture:
		set(fieldWhere, string(e.Where))
		for field, v := range map[string]measure.Optional[float64]{fieldContent: e.Content, fieldCelsius: e.Celsius, fieldHumidity: e.Humidity} {
			if v, known := v.Get(); known {
				set(field, decimal(v))
			}
		}
	case model.Note:
		set(fieldNote, defuse(e.Text))
	default:
		return nil
	}
	return []row{head}
}

// rowWriter writes numbers in a bow's units.
type rowWriter struct{ units measure.Units }

func (w rowWriter) length(l measure.Length) string { return decimal(l.In(w.units.Length)) }

// scraped sets the fields of a scraping.
func (w rowWriter) scraped(set func(field, value string), e model.Scrape) {
	set(fieldLimb, e.Limb.String())
	set(fieldFrom, w.length(e.From))
	set(fieldTo, w.length(e.To))
	set(fieldTool, defuse(e.Tool))
	if strokes, known := e.Strokes.Get(); known {
		set(fieldStrokes, fmt.Sprint(strokes))
	}
	if depth, known := e.Depth.Get(); known {
		set(fieldDepth, w.length(depth))
	}
	if share, known := e.DepthShare.Get(); known {
		set(fieldShare, decimal(share))
	}
}

// finished sets the fields of a step of finishing.
func finished(set func(field, value string), e model.Finish) {
	set(fieldStep, defuse(e.Step))
	if coat, known := e.Coat.Get(); known {
		set(fieldCoat, fmt.Sprint(coat))
	}
	if grit, known := e.Grit.Get(); known {
		set(fieldGrit, fmt.Sprint(grit))
	}
	set(fieldDay, defuse(string(e.On)))
	set(fieldStamped, defuse(e.Text))
}

func (w rowWriter) readings(bow model.Bow, r model.Readings) map[station]string {
	cells := make(map[station]string)
	for _, side := range model.Sides {
		for i, at := range bow.Limbs[side].Stations {
			if l, known := r.At(side, i).Get(); known {
				cells[station{side, at}] = w.length(l)
			}
		}
	}
	return cells
}

// braced is a row for the bow at rest and further ones for the gaps under a block, all of one entry.
func (w rowWriter) braced(bow model.Bow, head row, e model.Braced) []row {
	if height, known := e.Height.Get(); known {
		head.fields[fieldBrace] = w.length(height)
	}
	head.fields[fieldMeasured] = string(e.From)
	head.stations = w.readings(bow, e.Readings)
	rows := []row{head}
	if e.Block == nil {
		return rows
	}
	// A record may name a place twice; a row has room for it once.
	left := make([]int, len(e.Block.At))
	for i := range left {
		left[i] = i
	}
	for first := true; first || len(left) > 0; first = false {
		r := row{fields: map[string]string{fieldKind: kindBlock, fieldBlock: w.length(e.Block.Length)}, stations: make(map[station]string)}
		for _, field := range []string{fieldTime, fieldEntry} {
			if value := head.fields[field]; value != "" {
				r.fields[field] = value
			}
		}
		taken := make(map[measure.Length]bool)
		var later []int
		for _, i := range left {
			at := e.Block.At[i]
			if taken[at] {
				later = append(later, i)
				continue
			}
			taken[at] = true
			for _, side := range model.Sides {
				if gap, known := e.Block.Gaps.At(side, i).Get(); known {
					r.stations[station{side, at}] = w.length(gap)
				}
			}
		}
		rows, left = append(rows, r), later
	}
	return rows
}

// Times are those of the place, as a spreadsheet shows them, with the offset from Greenwich only where the clock on the
// wall does not say which moment is meant, as in the hour that is put back.
const (
	wallTime   = "2006-01-02 15:04:05.999999999"
	offsetTime = "2006-01-02 15:04:05.999999999-07:00"
)

func writeTime(at time.Time, place *time.Location) string {
	local := at.In(place)
	text := local.Format(wallTime)
	if back, err := time.ParseInLocation(wallTime, text, place); err == nil && back.Equal(at) {
		return text
	}
	return local.Format(offsetTime)
}

// parseTime reads a time as writeTime writes it, and in the ways in which spreadsheets and people write a day and an hour.
func parseTime(text string, place *time.Location) (time.Time, error) {
	for _, layout := range []string{
		wallTime, "2006-01-02 15:04", "2006-01-02", "2006-01-02T15:04:05.999999999", "2006-01-02T15:04", "20060102", "2006/01/02", "2006/01/02 15:04", "2006/01/02 15:04:05",
		"02.01.2006", "02.01.2006 15:04", "02.01.2006 15:04:05", offsetTime, time.RFC3339Nano, "2006-01-02 15:04:05Z07:00",
	} {
		if at, err := time.ParseInLocation(layout, text, place); err == nil {
			return at, nil
		}
	}
	return time.Time{}, fmt.Errorf("%q is no time here; expected one like 2027-01-10 09:30", short(text))
}

// short keeps a stranger's text from filling a message.
func short(text string) string {
	const most = 40
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "..."
	}
	return text
}
