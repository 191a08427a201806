package finish

import (
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
	chanceLetters  = "BCDFGHJKLMNPQRSTVWXZ"
	chanceCount    = 4
	longestNumber  = 60 // letters: a number is stamped
	highestCount   = 999_999_999
	widestCount    = 9
	usualNumbering = "{yy}{month}{day}-{count}-{letters}"
)

// placeholder is one of a pattern's places.
var placeholder = regexp.MustCompile(`\{[^{}]*\}`)

// Check says whether the pattern gives distinct numbers.
func (n Numbering) Check() error {
	counts, letters := 0, 0
	for _, found := range placeholder.FindAllString(n.Pattern, -1) {
		name, width, _ := strings.Cut(strings.Trim(found, "{}"), ":")
		switch name {
		case "year", "yy", "month", "day":
		case "letters":
			letters++
		case "count":
			counts++
			if w, err := strconv.Atoi(width); width != "" && (err != nil || w < 1 || w > widestCount) {
				return fmt.Errorf("%s: expected a width from 1 to %d, as in {count:3}", found, widestCount)
			}
			width = ""
		default:
			return fmt.Errorf("%s is not known; expected {year}, {yy}, {month}, {day}, {count} or {letters}", found)
		}
		if width != "" {
			return fmt.Errorf("%s: only {count} has a width", found)
		}
	}
	rest, filled := placeholder.ReplaceAllString(n.Pattern, ""), placeholder.ReplaceAllString(n.Pattern, "0")
	switch {
	case counts == 0:
		return errors.New("without {count} it gives no distinct numbers; expected it once")
	case counts > 1:
		return errors.New("{count} stands more than once; expected it once")
	case letters > 1:
		return errors.New("{letters} stands more than once; expected it once")
	case letters == 0 && !n.Alone:
		return errors.New(`without {letters} another book may give the same number; expected {letters}, or "alone": true where there is no other`)
	case strings.ContainsAny(rest, "{}"):
		return errors.New("a brace stands alone")
	case filled != plain.Line(filled) || len(n.Pattern) > longestNumber:
		return fmt.Errorf("expected plain letters that can be stamped, %d at most", longestNumber)
	case n.Start < 1 || n.Start > highestCount:
		return fmt.Errorf("start: expected a count from 1 to %d", highestCount)
	}
	return nil
}

// Next is the next number: of the highest count that was ever given by the pattern, or begun with, the one
// after. given are all numbers that any bow of the book ever had; none of them is given again. chance is
// where the letters come from.
func (n Numbering) Next(given []string, day time.Time, chance io.Reader) (string, error) {
	if err := n.Check(); err != nil {
		return "", fmt.Errorf("the shop's pattern of numbers, %q: %w", n.Pattern, err)
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

// SameNumber says whether two numbers would be stamped alike.
func SameNumber(a, b string) bool { return PlainNumber(a) == PlainNumber(b) }

func (n Numbering) write(count int, day time.Time, letters string) string {
	return placeholder.ReplaceAllStringFunc(n.Pattern, func(found string) string {
		name, width, _ := strings.Cut(strings.Trim(found, "{}"), ":")
		switch name {
		case "year":
			return day.Format("2006")
		case "yy":
			return day.Format("06")
		case "month":
			return day.Format("01")
		case "day":
			return day.Format("02")
		case "letters":
			return letters
		}
		wide, _ := strconv.Atoi(width) // checked: a width that is none is 0
		return fmt.Sprintf("%0*d", wide, count)
	})
}

// reader finds the count in a number that the pattern gave.
func (n Numbering) reader() *regexp.Regexp {
	var b strings.Builder
	b.WriteString("(?i)^")
	at := 0
	for _, place := range placeholder.FindAllStringIndex(n.Pattern, -1) {
		b.WriteString(regexp.QuoteMeta(n.Pattern[at:place[0]]))
		at = place[1]
		name, _, _ := strings.Cut(n.Pattern[place[0]+1:place[1]-1], ":")
		switch name {
		case "year":
			b.WriteString(`\d{4}`)
		case "yy", "month", "day":
			b.WriteString(`\d{2}`)
		case "letters":
			fmt.Fprintf(&b, "[a-z]{%d}", chanceCount)
		default:
			b.WriteString(`(\d+)`)
		}
	}
	b.WriteString(regexp.QuoteMeta(n.Pattern[at:]) + "$")
	return regexp.MustCompile(b.String())
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
