package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Seconds is a number of seconds as a time; ok is false for none, or one longer than a day.
func Seconds(v float64) (d time.Duration, ok bool) {
	const day = 24 * 60 * 60
	if !(v >= 0 && v <= day) {
		return 0, false
	}
	return time.Duration(math.Round(v * float64(time.Second))), true
}

// ParseSeconds reads a time as a bowyer types it: 3, 3.2, 3,2 or 3.2 s. The error wraps errNotMeasure
// and says what would be accepted.
func ParseSeconds(text string) (time.Duration, error) {
	number := strings.TrimSpace(strings.TrimSuffix(strings.ToLower(strings.TrimSpace(text)), "s"))
	v, err := parseDecimal(number)
	if err == nil {
		if d, ok := Seconds(v); ok {
			return d, nil
		}
		err = fmt.Errorf("%w: %s is longer than a day", errNotMeasure, number)
	}
	return 0, fmt.Errorf("%w; a time is written in seconds, 3 or 3.2", err)
}

// PrintSeconds is a time in seconds, to a tenth: 3.2.
func PrintSeconds(d time.Duration) string {
	return strconv.FormatFloat(math.Round(d.Seconds()*10)/10, 'f', -1, 64)
}
