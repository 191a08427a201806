package finish

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"bendbook/model/plain"
)

// numbering is how a shop numbers its bows.
type numbering struct {
	// Pattern is text with {year}, {yy}, {month}, {day} of the day of making, {count}, the shop's running
	// count, padded where a width is given ({count:3}), and {letters}, four letters of chance.
	Pattern string `json:"pattern"`
	Start   int    `json:"start"` // the first count that is given
	// Alone says that no other book gives numbers for the maker, so that letters may be left out.
	Alone bool `json:"alone"`
}

const (
	// chanceLetters are consonants that look like no digit and spell no word. With four of them, two books that
	// reach the same count on the same day give the same number once in 160,000 times.
	chanceLetters = "BCDFGHJKLMNPQRSTVWXZ"
	chanceCount   = 4
	longestNumber = 60 // bytes: a number is stamped
	highestCount  = 999_999_999
)

// placeholder matches one of a pattern's places: its name and a width.
var placeholder = regexp.MustCompile(`\{([^{}:]*):?([^{}]*)\}`)

// wantPlace is what is wrong with a place of a pattern, "" for nothing.
func wantPlace(place, name, width string) string {
	const known = "{year}, {yy}, {month}, {day}, {count} or {letters}"
	switch {
	case !slices.Contains([]string{"year", "yy", "month", "day", "count", "letters"}, name):
		return fmt.Sprintf("%s is not known: write %s", place, known)
	case width != "" && name != "count":
		return fmt.Sprintf("%s: only {count} has a width", place)
	case len(width) > 1 || !strings.Contains("123456789", width) || strings.HasSuffix(place, ":}"):
		return fmt.Sprintf("%s: write a width from 1 to 9, as in {count:3}", place)
	}
	return ""
}

// want is what is wrong with the pattern, "" where it gives distinct numbers.
func (n numbering) want() string {
	times := make(map[string]int)
	for _, found := range placeholder.FindAllStringSubmatch(n.Pattern, -1) {
		times[found[1]]++
		if want := wantPlace(found[0], found[1], found[2]); want != "" {
			return want
		}
	}
	rest, filled := placeholder.ReplaceAllString(n.Pattern, ""), placeholder.ReplaceAllString(n.Pattern, "0")
	switch {
	case times["count"] == 0:
		return "without {count} all numbers are the same: write it once"
	case times["count"] > 1:
		return "{count} is there twice: write it once"
	case times["letters"] > 1:
		return "{letters} is there twice: write it once"
	case times["letters"] == 0 && !n.Alone:
		return "without {letters} another book may give the same number: " +
			`write {letters}, or "alone": true if this is the only book`
	case strings.ContainsAny(rest, "{}"):
		return "a { or } stands alone: write both, as in {count}"
	case filled != plain.Line(filled) || len(n.Pattern) > longestNumber:
		return fmt.Sprintf("write plain letters that you can stamp, %d at most", longestNumber)
	}
	return ""
}

// Next makes a new number, counting on from the highest count in given. given holds all numbers that any bow
// of the book ever had; none is given again. The letters are drawn from chance.
func (n numbering) Next(given []string, day time.Time, chance io.Reader) (string, error) {
	start := expect(n.Start >= 1 && n.Start <= highestCount, "start: write a whole number from 1")
	if want := cmp.Or(n.want(), start); want != "" {
		return "", fmt.Errorf("the shop's pattern of numbers, %q: %s", n.Pattern, want)
	}
	count, ours := n.Start, n.reader()
	taken := make(map[string]bool, len(given))
	for _, number := range given {
		taken[PlainNumber(number)] = true
		if found := ours.FindStringSubmatch(strings.TrimSpace(number)); found != nil {
			if c, err := strconv.Atoi(found[1]); err == nil && c < highestCount {
				count = max(count, c+1)
			}
		}
	}
	for ; count <= highestCount; count++ {
		letters, err := draw(chance)
		if err != nil {
			return "", fmt.Errorf("drawing the number's letters: %w", err)
		}
		if number := n.write(count, day, letters); !taken[PlainNumber(number)] {
			return number, nil
		}
	}
	return "", errors.New("the shop's count of bows is at its end")
}

// PlainNumber is a number as it is compared: a stamp has no small letters, and extra blanks don't count.
func PlainNumber(number string) string {
	return strings.ToUpper(strings.Join(strings.Fields(number), " "))
}

func (n numbering) write(count int, day time.Time, letters string) string {
	text := strings.NewReplacer("{year}", day.Format("2006"), "{yy}", day.Format("06"),
		"{month}", day.Format("01"), "{day}", day.Format("02"), "{letters}", letters).Replace(n.Pattern)
	return placeholder.ReplaceAllStringFunc(text, func(place string) string { // only the count is left
		return fmt.Sprintf("%0"+placeholder.FindStringSubmatch(place)[2]+"d", count)
	})
}

// reader matches a number of this pattern and captures its count.
func (n numbering) reader() *regexp.Regexp {
	pattern := strings.NewReplacer(`\{year\}`, `\d{4}`, `\{yy\}`, `\d\d`, `\{month\}`, `\d\d`, `\{day\}`, `\d\d`,
		`\{letters\}`, fmt.Sprintf("[a-z]{%d}", chanceCount)).Replace(regexp.QuoteMeta(n.Pattern))
	count := regexp.MustCompile(`\\\{count(:\d)?\\\}`) // as QuoteMeta spells it
	return regexp.MustCompile("(?i)^" + count.ReplaceAllLiteralString(pattern, `(\d+)`) + "$")
}

// draw takes letters by chance, each as likely as another.
func draw(chance io.Reader) (string, error) {
	letters, one := make([]byte, 0, chanceCount), make([]byte, 1)
	for len(letters) < chanceCount {
		if _, err := io.ReadFull(chance, one); err != nil {
			return "", err
		}
		// Bytes beyond the last whole multiple would favour the first letters.
		if fair := 256 / len(chanceLetters) * len(chanceLetters); int(one[0]) < fair {
			letters = append(letters, chanceLetters[int(one[0])%len(chanceLetters)])
		}
	}
	return string(letters), nil
}
