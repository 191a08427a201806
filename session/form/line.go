package form

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"bendbook/model"
)

// A form can be filled in by one line: words name fields, limbs and choices; bare values fill the fields of
// the form, or of the limb named last, in order.
//
//	24 41.2 upper 3/8 - 1 5/8   draw and peak, then the upper stations; - leaves one out
//	peak 41.2 upper @12 1 5/8   a field by its name, a station by its place
//	24 upper 0.37 by photo      stations read off a photograph
//	upper 18-24 x15 rasp        a choice, from and to, a count, and words for the field that takes some
//
// A whole number with a fraction behind it is one value; 1.0 5/8 are two, and so are 0 1/16 where two are
// asked for. Values never run on from one limb to the other.

// Line fills the sheet in by one line about the bow and makes the outcome. Each answer is judged as on the
// form; the error says what is refused or missing, or is a DoubtError, unless sure is set.
func (s *Sheet) Line(bow model.Bow, line string, sure bool) (outcome, error) {
	s.of = bow
	s.Questions, s.seldom = append(s.Questions, s.seldom...), nil
	for i := range s.Questions {
		if s.Questions[i].free {
			s.Questions[i].Preset = "" // who wrote the line was not asked
		}
	}
	l := &lineReader{Sheet: s, given: make(map[string]bool)}
	if err := l.read(strings.TrimSpace(line)); err != nil {
		return outcome{}, err
	}
	for _, q := range s.Questions {
		text := s.answers[q.Name]
		if text == "" && q.Preset == "" && s.mustAnswer(q) {
			return outcome{}, fmt.Errorf("%s is missing: %s", q.named(), q.wants())
		}
		switch _, v := s.judge(q, text); {
		case v.State == Asked && !sure:
			return outcome{}, DoubtError{q.named() + ": " + strings.TrimSuffix(v.Says, keepIt)}
		case v.State == Refused:
			return outcome{}, fmt.Errorf("%s: %s", q.named(), v.Says)
		}
	}
	return s.finish(s)
}

// LineWords are the words that a line may name: fields, limbs and choices.
func (s *Sheet) LineWords() (words []string) {
	if s.verbatim() {
		return nil
	}
	for _, q := range slices.Concat(s.Questions, s.seldom) {
		names := []string{q.Label, q.Name}
		if i := slices.IndexFunc(names, func(n string) bool { return !strings.ContainsAny(n, " .@") }); i >= 0 {
			words = append(words, names[i])
		}
		words = append(append(words, q.Choices...), q.limb())
	}
	if s.held != nil {
		words = append(words, heldName)
	}
	seen := []string{""}
	for _, word := range words {
		if !slices.Contains(seen, word) {
			seen = append(seen, word)
		}
	}
	return seen[1:]
}

// verbatim says whether the sheet asks only for a text: the whole line is that.
func (s *Sheet) verbatim() bool { return len(s.Questions) == 1 && s.Questions[0].takesText() }

// lineReader parts a line into the answers of a sheet.
type lineReader struct {
	*Sheet
	queue []string // names of the questions that the next values answer
	limb  string   // that was named last
	open  string   // a word that still waits for its value
	given map[string]bool
}

func (l *lineReader) read(line string) error {
	if l.verbatim() {
		l.answers[l.Questions[0].Name] = line
		return nil
	}
	l.queue = l.from(0)
	words := l.spelled(strings.Fields(line))
	if at := slices.Index(words, byName); at >= 0 && at+1 < len(words) && words[at+1] == string(model.ByPhoto) &&
		l.TakesPhoto() == "" {
		l.answers[byName], words = string(model.ByPhoto), slices.Delete(words, at, at+2)
	}
	for len(words) > 0 {
		n, err := l.take(words)
		if err != nil {
			return err
		}
		words = words[n:]
	}
	return l.closed()
}

var times = regexp.MustCompile(`^[xX×](\d+)$`)

// spelled writes the shorthands of a line out: x15 is the count of strokes or pulls, 18-24 from and to.
func (l *lineReader) spelled(words []string) (out []string) {
	counted := slices.IndexFunc(l.Questions, func(q Question) bool { return q.measures == aCount })
	ranged := l.index("from") >= 0 && l.index("to") >= 0
	for _, word := range words {
		from, to, isRange := l.between(word)
		switch count := times.FindStringSubmatch(word); {
		case count != nil && counted >= 0:
			out = append(out, l.Questions[counted].Name, count[1])
		case isRange && ranged:
			// A whole number before it belongs to where it begins.
			if n := len(out); isFraction(from) && n > 0 && isWhole(out[n-1]) {
				from, out = out[n-1]+" "+from, out[:n-1]
			}
			out = append(out, "from", from, "to", to)
		default:
			out = append(out, word)
		}
	}
	return out
}

// between parts a word such as 18-24 into two lengths; 6-3/8 is one length and stays.
func (l *lineReader) between(word string) (from, to string, ok bool) {
	isLength := func(text string) bool {
		_, err := l.of.ParseLength(text)
		return err == nil
	}
	for i, r := range word {
		if i == 0 || r != '-' && r != '–' {
			continue
		}
		from, to = word[:i], word[i+len(string(r)):]
		if !isLength(word) && isLength(from) && isLength(to) {
			return from, to, true
		}
	}
	return "", "", false
}

// take reads the first words of a line and returns how many.
func (l *lineReader) take(words []string) (n int, err error) {
	word := words[0]
	if q, isChoice := l.choice(word); isChoice {
		return 1, l.give(q, word)
	}
	if names := l.names(word); names != nil {
		return 1, l.name(word, names)
	}
	n = valueWords(words)
	row := (l.open == "" || strings.EqualFold(l.open, l.limb)) && len(l.queue) > 1
	if n > 1 && row && words[0] == "0" && isFraction(words[1]) {
		n = 1
	}
	if n > 0 || word == "-" {
		return l.value(words, n)
	}
	return l.text(words)
}

// name takes a word that names questions: the values behind it answer them.
func (l *lineReader) name(word string, names []string) error {
	// Behind a limb a field of it, or a place on it, may be named.
	if err := l.closed(); err != nil && !strings.EqualFold(l.open, l.limb) {
		return err
	}
	l.queue, l.open = names, word
	limb := l.Questions[l.index(names[0])].limb()
	if strings.EqualFold(word, limb) || strings.Contains(word, "@") {
		l.limb = limb
	}
	return nil
}

// text gives words that are no value to the named field, or to the one that takes text.
func (l *lineReader) text(words []string) (n int, err error) {
	at := slices.IndexFunc(l.Questions, func(q Question) bool { return q.takesText() && !l.given[q.Name] })
	if l.open != "" {
		at = l.index(l.queue[0])
	}
	if at < 0 || l.Questions[at].Unit != "" || l.Questions[at].Choices != nil {
		return 0, fmt.Errorf("%q isn't a field here: write %s", words[0], strings.Join(l.LineWords(), ", "))
	}
	n = l.run(words, l.Questions[at])
	return n, l.give(l.Questions[at], strings.Join(words[:n], " "))
}

// value answers the next question with a value of n words, or leaves it out for -.
func (l *lineReader) value(words []string, n int) (int, error) {
	l.queue = l.queue[l.skipped(n > 0):]
	// A single bare value answers the only question that is needed: the peak of a weighing.
	alone := n > 0 && len(words) == n && len(l.given) == 0 && l.open == ""
	if needed := l.Needed(); alone && len(needed) == 1 {
		l.queue = l.names(needed[0])
	}
	if len(l.queue) == 0 {
		return 0, l.tooMany(strings.Join(words[:max(n, 1)], " "))
	}
	q := l.Questions[l.index(l.queue[0])]
	switch {
	case n == 0:
		l.queue, l.open = l.queue[1:], ""
		return 1, nil
	case q.measures == aRow || q.takesText():
		n = l.run(words, q)
	}
	return n, l.give(q, strings.Join(words[:n], " "))
}

// skipped counts the next questions that a value, or a - in its place, doesn't answer.
func (l *lineReader) skipped(isValue bool) int {
	at := slices.IndexFunc(l.queue, func(name string) bool {
		q := l.Questions[l.index(name)]
		asksForWords := q.Choices != nil && !(q.free && l.open != "")
		return !asksForWords && !(isValue && q.takesText() && l.open == "")
	})
	if at < 0 {
		return len(l.queue)
	}
	return at
}

func (l *lineReader) tooMany(value string) error {
	where := "here"
	if l.limb != "" {
		where = "for the " + l.limb + " limb"
	}
	return fmt.Errorf("%q is one value too many %s; name its field: %s", value, where,
		strings.Join(l.LineWords(), ", "))
}

// give answers a question, once.
func (l *lineReader) give(q Question, text string) error {
	if l.given[q.Name] {
		return fmt.Errorf("%s is given twice", q.named())
	}
	l.given[q.Name], l.open = true, ""
	l.answers[q.Name] = text
	l.retune()
	l.queue = slices.DeleteFunc(l.queue, func(name string) bool { return name == q.Name || l.index(name) < 0 })
	for name := range l.given {
		if l.index(name) < 0 {
			return fmt.Errorf("%s comes before the readings that follow from it", q.named())
		}
	}
	return nil
}

// closed returns an error where a named field still lacks its value.
func (l *lineReader) closed() error {
	if l.open != "" {
		return fmt.Errorf("nothing follows %q: give its value, or - to leave it out", l.open)
	}
	return nil
}

// run counts the words of an answer that takes several: up to the next that names something, or, unless it
// takes a row of values, up to the next value.
func (l *lineReader) run(words []string, q Question) int {
	for n := 1; n < len(words); n++ {
		_, isChoice := l.choice(words[n])
		isValue := q.measures != aRow && (words[n] == "-" || valueWords(words[n:]) > 0)
		if isChoice || isValue || l.names(words[n]) != nil {
			return n
		}
	}
	return len(words)
}

func (l *lineReader) choice(word string) (Question, bool) {
	for _, q := range l.Questions {
		if slices.ContainsFunc(q.Choices, func(c string) bool { return strings.EqualFold(c, word) }) {
			return q, true
		}
	}
	return Question{}, false
}

// from names question i and those behind it, as far as they are of the same limb.
func (l *lineReader) from(i int) (names []string) {
	for _, q := range l.Questions[i:] {
		if q.limb() == l.Questions[i].limb() {
			names = append(names, q.Name)
		}
	}
	return names
}

// names lists the questions that a word names: a field and those behind it, all fields of the name where
// there are several, a limb's from the first or, as upper@12, from a place on; nil where it names none.
func (l *lineReader) names(word string) (names []string) {
	if strings.EqualFold(word, heldName) && l.held != nil && l.index(heldName) < 0 {
		l.fillHeld("")
	}
	for _, q := range l.Questions {
		if l.means(word, q) {
			names = append(names, q.Name)
		}
	}
	if len(names) == 1 || len(names) > 1 && strings.Contains(word, "@") {
		return l.from(l.index(names[0]))
	}
	return names
}

// means says whether a word names a question, its limb, or its place on that as upper@12. Behind a limb @12
// is on that limb.
func (l *lineReader) means(word string, q Question) bool {
	limb, place, isPlace := strings.Cut(word, "@")
	limb = cmp.Or(limb, l.limb)
	switch {
	case isPlace:
		at, err := l.of.ParseLength(place)
		said := l.of.Ruler().WithUnit(at)
		// A place stands in the label, or in the group.
		return err == nil && (limb == "" || strings.EqualFold(limb, q.limb())) &&
			(q.Label == said || strings.HasSuffix(q.Group, ", "+said))
	case strings.EqualFold(word, q.limb()):
		return true
	case l.limb != "" && q.limb() != "" && l.limb != q.limb():
		return false
	}
	return strings.EqualFold(word, q.Name) || strings.EqualFold(word, q.Label)
}
