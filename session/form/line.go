package form

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
)

// A form can be filled in by one line: words name fields, limbs and choices; bare values fill the fields of
// the form, or of the limb named last, in order.
//
//	24 41.2 upper 3/8 - 1 5/8   draw and peak, then the upper stations; - leaves one out
//	peak 41.2 upper @12 1 5/8   a field by its name, a station by its place
//	upper 18-24 x15 rasp        a choice, from and to, a count, and words for the field that takes some
//
// A whole number with a fraction behind it is one value; 1.0 5/8 are two. Values never run on from one limb
// to the other.

// DoubtError says why a value is doubtful; who is sure keeps it.
type DoubtError struct{ Says string }

func (e DoubtError) Error() string { return e.Says }

// Line fills the sheet in by one line about the bow and makes the outcome. Each answer is judged as on the
// form; the error says what is refused or missing, or is a DoubtError, unless sure is set.
func (s *Sheet) Line(bow model.Bow, line string, sure bool) (Outcome, error) {
	s.of = bow
	l := &lineReader{Sheet: s, given: make(map[string]bool)}
	if err := l.read(strings.TrimSpace(line)); err != nil {
		return Outcome{}, err
	}
	for _, q := range s.Questions {
		text := s.answers[q.Name]
		if text == "" && q.Preset == "" && q.Must {
			return Outcome{}, fmt.Errorf("%s is missing: %s", q.named(), q.wants())
		}
		_, v := s.judge(q, text)
		if v.State == Asked && sure {
			_, v = s.judge(q, text)
		}
		switch v.State {
		case Asked:
			return Outcome{}, DoubtError{q.named() + ": " + strings.TrimSuffix(v.Says, ": "+keepIt)}
		case Refused:
			return Outcome{}, fmt.Errorf("%s: %s", q.named(), v.Says)
		}
	}
	return s.finish(s)
}

// LineWords are the words that a line may name: fields, limbs and choices.
func (s *Sheet) LineWords() (words []string) {
	add := func(word string) {
		if word != "" && !slices.Contains(words, word) {
			words = append(words, word)
		}
	}
	if s.verbatim() {
		return nil
	}
	for _, q := range s.Questions {
		for _, name := range []string{q.Label, q.Name} {
			if !strings.ContainsAny(name, " .@") {
				add(name)
				break
			}
		}
		for _, choice := range q.Choices {
			add(choice)
		}
		add(q.limb())
	}
	if s.held != nil {
		add(heldName)
	}
	return words
}

// verbatim says whether the sheet asks for nothing but a text, which a line then is as a whole.
func (s *Sheet) verbatim() bool { return len(s.Questions) == 1 && s.Questions[0].takesText() }

func (q Question) takesText() bool {
	return q.Unit == "" && q.Choices == nil && q.measures == noQuantity
}

// limb is the limb that the question is about; "" for none.
func (q Question) limb() string {
	for _, side := range sideNames() {
		if strings.HasPrefix(q.Group, side) {
			return side
		}
	}
	return ""
}

// named is the question as a message names it: "peak", "upper limb, 8 in".
func (q Question) named() string {
	if q.limb() == "" {
		return q.Label
	}
	return q.Group + ", " + q.Label
}

// wants is what would be accepted, without what only a form can do.
func (q Question) wants() string {
	if q.Choices != nil {
		return "expected " + strings.Join(q.Choices, " or ")
	}
	hint, _, _ := strings.Cut(q.Hint, ";")
	return hint
}

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
	if len(l.Questions) > 0 {
		l.follow(0)
	}
	words := l.spelled(strings.Fields(line))
	for len(words) > 0 {
		n, err := l.take(words)
		if err != nil {
			return err
		}
		words = words[n:]
	}
	return l.closed()
}

// take heeds the first words of a line and says how many.
func (l *lineReader) take(words []string) (n int, err error) {
	word := words[0]
	if q, isChoice := l.choice(word); isChoice {
		return 1, l.give(q, word)
	}
	if names := l.names(word); names != nil {
		// Behind a limb a field of it, or a place on it, may be named.
		if err := l.closed(); err != nil && !strings.EqualFold(l.open, l.limb) {
			return 0, err
		}
		l.queue, l.open = names, word
		limb := l.Questions[l.index(names[0])].limb()
		if strings.EqualFold(word, limb) || strings.Contains(word, "@") {
			l.limb = limb
		}
		return 1, nil
	}
	if n = valueWords(words); n > 0 || word == "-" {
		return l.value(words, n)
	}
	// Words of one's own are for the field that takes some.
	at := slices.IndexFunc(l.Questions, func(q Question) bool { return q.takesText() && !l.given[q.Name] })
	if l.open != "" {
		at = l.index(l.queue[0])
	}
	if at < 0 || l.Questions[at].Unit != "" || l.Questions[at].Choices != nil {
		return 0, fmt.Errorf("%q is no field here; expected %s", word, strings.Join(l.LineWords(), ", "))
	}
	n = l.run(words, l.Questions[at])
	return n, l.give(l.Questions[at], strings.Join(words[:n], " "))
}

// value gives a value of so many words to the next question, or leaves that out for -.
func (l *lineReader) value(words []string, n int) (int, error) {
	skip := func(q Question) bool { return q.Choices != nil || n > 0 && q.takesText() && l.open == "" }
	for len(l.queue) > 0 && skip(l.Questions[l.index(l.queue[0])]) {
		l.queue = l.queue[1:]
	}
	if needed, ok := l.onlyNeeded(words, n); ok {
		l.queue = []string{needed}
	}
	if len(l.queue) == 0 {
		where := "here"
		if l.limb != "" {
			where = "for the " + l.limb + " limb"
		}
		text := strings.Join(words[:max(n, 1)], " ")
		return 0, fmt.Errorf("%q is one value too many %s; name its field: %s", text, where,
			strings.Join(l.LineWords(), ", "))
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

// onlyNeeded is the one question that must be answered, where the line gives but one value, and that without
// a name: the peak of a weighing at the ordered draw.
func (l *lineReader) onlyNeeded(words []string, n int) (name string, ok bool) {
	if n == 0 || len(words) > n || len(l.given) > 0 || l.open != "" {
		return "", false
	}
	for _, q := range l.Questions {
		if q.Must && q.Preset == "" {
			if ok {
				return "", false
			}
			name, ok = q.Name, true
		}
	}
	return name, ok
}

// give answers a question, once.
func (l *lineReader) give(q Question, text string) error {
	if l.given[q.Name] {
		return fmt.Errorf("%s is given twice", q.named())
	}
	l.given[q.Name], l.open = true, ""
	l.answers[q.Name] = text
	l.retune()
	done := func(name string) bool { return name == q.Name || l.index(name) < 0 }
	l.queue = slices.DeleteFunc(l.queue, done)
	for name := range l.given {
		if l.index(name) < 0 {
			return fmt.Errorf("%s comes before the readings that follow from it", q.named())
		}
	}
	return nil
}

// closed says what a named field lacks.
func (l *lineReader) closed() error {
	if l.open != "" {
		return fmt.Errorf("nothing follows %q; expected its value, or - to leave it out", l.open)
	}
	return nil
}

// run is of how many words the answer to a question is that takes several: up to the next that names
// something, or, unless it takes a row of values, up to the next value.
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

// choice is the question of which a word is a choice.
func (l *lineReader) choice(word string) (Question, bool) {
	for _, q := range l.Questions {
		if slices.ContainsFunc(q.Choices, func(c string) bool { return strings.EqualFold(c, word) }) {
			return q, true
		}
	}
	return Question{}, false
}

// follow lets the values that come answer question i and those behind it, as far as they are of the same
// limb.
func (l *lineReader) follow(i int) {
	l.queue = nil
	for _, q := range l.Questions[i:] {
		if q.limb() == l.Questions[i].limb() {
			l.queue = append(l.queue, q.Name)
		}
	}
}

// names are the questions that a word names: a field and those behind it, all fields of the name where there
// are several, a limb's from the first or, as upper@12, from a place on; nil where it names none.
func (l *lineReader) names(word string) (names []string) {
	if strings.EqualFold(word, heldName) && l.held != nil && l.index(heldName) < 0 {
		l.fillHeld("")
	}
	limb, place, isPlace := strings.Cut(word, "@")
	if limb == "" {
		limb = l.limb
	}
	first := -1
	for i, q := range l.Questions {
		is := strings.EqualFold(word, q.limb())
		switch {
		case isPlace:
			is = (limb == "" || strings.EqualFold(limb, q.limb())) && l.at(q, place)
		case !is && (l.limb == "" || q.limb() == "" || l.limb == q.limb()):
			is = strings.EqualFold(word, q.Name) || strings.EqualFold(word, q.Label)
		}
		if is {
			names = append(names, q.Name)
			if first < 0 {
				first = i
			}
		}
	}
	if isPlace || len(names) == 1 {
		if first < 0 {
			return nil
		}
		was := l.queue
		l.follow(first)
		names, l.queue = l.queue, was
	}
	return names
}

// at says whether a question is about a place on a limb, which its label names, or its group.
func (l *lineReader) at(q Question, place string) bool {
	at, err := l.of.ParseLength(place)
	if err != nil {
		return false
	}
	said := l.of.Ruler().WithUnit(at)
	return q.Label == said || strings.HasSuffix(q.Group, ", "+said)
}
