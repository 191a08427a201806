package table

import (
	"strings"
	"time"

	"bendbook/model/plain"
)

// Times are local, as spreadsheets show them. An offset from UTC follows only where the clock shows the same
// hour twice, on the night when it is put back.
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

// time reads the row's time as writeTime, spreadsheets and people write it; zero where it has none.
func (c *cells) time(place *time.Location) time.Time {
	day, hour := strings.TrimSpace(c.take(columnDate)), strings.TrimSpace(c.take(columnTime))
	text := strings.TrimSpace(day + " " + hour)
	if text == "" {
		return time.Time{}
	}
	if day == "" && len(hour) < len("2006-01-02") {
		c.failf("time: %q names no day; expected one like 2027-01-10 09:30", short(plain.Line(hour)))
		return time.Time{}
	}
	for _, layout := range []string{
		wallTime, "2006-01-02 15:04", "2006-01-02", "2006-01-02T15:04:05.999999999", "2006-01-02T15:04", "20060102",
		"2006/01/02", "2006/01/02 15:04", "2006/01/02 15:04:05", "02.01.2006", "02.01.2006 15:04",
		"02.01.2006 15:04:05", offsetTime, time.RFC3339Nano, "2006-01-02 15:04:05Z07:00",
	} {
		if at, err := time.ParseInLocation(layout, text, place); err == nil {
			return at.UTC()
		}
	}
	c.failf("time: %q isn't a time here; expected one like 2027-01-10 09:30", short(text))
	return time.Time{}
}
