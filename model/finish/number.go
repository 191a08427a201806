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
	chanceLetters  = "BCDFGHJKLMNPQRSTVWXZ"
	chanceCount    = 4
	longestNumber  = 60 // letters: a number is stamped
	highestCount   = 999_999_999
	widestCount    = 9
	usualNumbering = "{yy}{month}{day}-{count}-{letters}"
)

// placeholder is one of a pattern's places: its name, and a width.
var placeholder = regexp.MustCompile(`\{([^{}:]*):?([^{}]*)\}`)

// place is what a pattern may name.
type place struct {
	day    string // layout of the day; "" for what is none of it
	digits string // that it is read back by
}

func placeNamed(name string) (p place, known bool) {
	p, known = map[string]place{
		"year": {"2006", `\d{4}`}, "yy": {"06", `\d{2}`}, "month": {"01", `\d{2}`}, "day": {"02", `\d{2}`},
		"count": {"", `(\d+)`}, "letters": {"", fmt.Sprintf("[a-z]{%d}", chanceCount)},
	}[name]
	return p, known
}

// Check says whether the pattern gives distinct numbers.
func (n Numbering) Check() error {
	if want := cmp.Or(n.want(), expect(n.Start >= 1 && n.Start <= highestCount, "start: expected a count")); want != "" {
		return errors.New(want)
	}
	return nil
}

// want is what is expected of the pattern instead, "" where it gives distinct numbers.
func (n Numbering) want() string {
	times := make(map[string]int)
	for _, found := range placeholder.FindAllStringSubmatch(n.Pattern, -1) {
		name, width := found[1], found[2]
		times[name]++
		if _, known := placeNamed(name); !known {
			return fmt.Sprintf("%s is not known; expected {year}, {yy}, {month}, {day}, {count} or {letters}", found[0])
		}
		if width != "" && name != "count" {
			return fmt.Sprintf("%s: only {count} has a width", found[0])
		}
		if w, err := strconv.Atoi(width); width != "" && (err != nil || w < 1 || w > widestCount) {
			return fmt.Sprintf("%s: expected a width from 1 to %d, as in {count:3}", found[0], widestCount)
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
		if p, _ := placeNamed(name); p.day != "" {
			return day.Format(p.day)
		}
		if name == "letters" {
			return letters
		}
		wide, _ := strconv.Atoi(width) // checked: a width that is none is 0
		return fmt.Sprintf("%0*d", wide, count)
	})
}

// reader finds the count in a number that the pattern gave.
func (n Numbering) reader() *regexp.Regexp {
	// What is quoted has backslashes before the braces of its places.
	quoted := regexp.MustCompile(`\\\{([a-z]+)(:\d)?\\\}`)
	pattern := quoted.ReplaceAllStringFunc(regexp.QuoteMeta(n.Pattern), func(found string) string {
		p, _ := placeNamed(quoted.FindStringSubmatch(found)[1])
		return p.digits
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
