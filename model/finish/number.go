package finish

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"

	"bendbook/model/plain"
)

// Numbering is how a shop numbers its bows.
type Numbering struct {
	// Pattern is text with {year}, {yy}, {month}, {day} of the day of making, {count}, the shop's running
	// count, padded where a width is given ({count:3}), and {letters}, four letters of chance.
	Pattern string `json:"pattern"`
	Start   int    `json:"start"` // the first count that is given
	// Alone says that no other book gives numbers for the maker, so that letters may be left out.
	Alone bool `json:"alone"`
}

// chanceLetters are those that a number's letters are drawn from: consonants that no digit is mistaken for,
// so that no word comes of them. Four of them keep two books that gave the same count on the same day from
// giving the same number but once in 160,000.
const (
	chanceLetters = "BCDFGHJKLMNPQRSTVWXZ"
	chanceCount   = 4
	longestNumber = 60 // letters: a number is stamped
	highestCount  = 999_999_999
)

// placeholder is one of a pattern's places: its name, and a width.
var placeholder = regexp.MustCompile(`\{([^{}:]*):?([^{}]*)\}`)

// days is the layout of a place of the day of making; "" for another.
func days(name string) string {
	return map[string]string{"year": "2006", "yy": "06", "month": "01", "day": "02"}[name]
}

// want is what is expected of the pattern instead, "" where it gives distinct numbers.
func (n Numbering) want() string {
	times := make(map[string]int)
	for _, found := range placeholder.FindAllStringSubmatch(n.Pattern, -1) {
		name, width := found[1], found[2]
		times[name]++
		if days(name) == "" && name != "count" && name != "letters" {
			const known = "{year}, {yy}, {month}, {day}, {count} or {letters}"
			return fmt.Sprintf("%s is not known; expected %s", found[0], known)
		}
		if width != "" && name != "count" {
			return fmt.Sprintf("%s: only {count} has a width", found[0])
		}
		if len(width) > 1 || !strings.Contains("123456789", width) {
			return fmt.Sprintf("%s: expected a width from 1 to 9, as in {count:3}", found[0])
		}
	}
	rest, filled := placeholder.ReplaceAllString(n.Pattern, ""), placeholder.ReplaceAllString(n.Pattern, "0")
	switch {
	case times["count"] == 0:
		return "without {count} it gives no distinct numbers; expected it once"
	case times["count"] > 1:
		return "{count} stands more than once; expected it once"
	case times["letters"] > 1:
		return "{letters} stands more than once; expected it once"
	case times["letters"] == 0 && !n.Alone:
		return "without {letters} another book may give the same number; " +
			`expected {letters}, or "alone": true where there is no other`
	case strings.ContainsAny(rest, "{}"):
		return "a brace stands alone"
	case filled != plain.Line(filled) || len(n.Pattern) > longestNumber:
		return fmt.Sprintf("expected plain letters that can be stamped, %d at most", longestNumber)
	}
	return ""
}

// Next is the next number: of the highest count that was ever given by the pattern, or begun with, the one
// after. given are all numbers that any bow of the book ever had; none of them is given again. chance is
// where the letters come from.
func (n Numbering) Next(given []string, day time.Time, chance io.Reader) (string, error) {
	start := expect(n.Start >= 1 && n.Start <= highestCount, "start: expected a count")
	if want := cmp.Or(n.want(), start); want != "" {
		return "", fmt.Errorf("the shop's pattern of numbers, %q: %s", n.Pattern, want)
	}
	count := n.Start
	ours := n.reader()
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

// PlainNumber is a number as it is compared: stamps have no small letters, and blanks count for little.
func PlainNumber(number string) string {
	return strings.ToUpper(strings.Join(strings.Fields(number), " "))
}

func (n Numbering) write(count int, day time.Time, letters string) string {
	return placeholder.ReplaceAllStringFunc(n.Pattern, func(found string) string {
		name, width, _ := strings.Cut(strings.Trim(found, "{}"), ":")
		switch name {
		case "count":
			return fmt.Sprintf("%0"+width+"d", count)
		case "letters":
			return letters
		}
		return day.Format(days(name))
	})
}

// reader finds the count in a number that the pattern gave.
func (n Numbering) reader() *regexp.Regexp {
	quoted := regexp.MustCompile(`\\\{([a-z]+)(:\d)?\\\}`) // a place behind QuoteMeta
	pattern := quoted.ReplaceAllStringFunc(regexp.QuoteMeta(n.Pattern), func(found string) string {
		switch name := quoted.FindStringSubmatch(found)[1]; name {
		case "count":
			return `(\d+)`
		case "letters":
			return strings.Repeat("[a-z]", chanceCount)
		default:
			return strings.Repeat(`\d`, len(days(name)))
		}
	})
	return regexp.MustCompile("(?i)^" + pattern + "$")
}

// draw takes letters by chance, each as likely as another.
func draw(chance io.Reader) (string, error) {
	letters := make([]byte, 0, chanceCount)
	one := make([]byte, 1)
	for range 1000 {
		if _, err := io.ReadFull(chance, one); err != nil {
			return "", err
		}
		if fair := 256 / len(chanceLetters) * len(chanceLetters); int(one[0]) < fair {
			letters = append(letters, chanceLetters[int(one[0])%len(chanceLetters)])
		}
		if len(letters) == chanceCount {
			return string(letters), nil
		}
	}
	return "", errors.New("the source of chance gives always the same")
}
