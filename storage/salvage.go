package storage

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"

	"bendbook/model/record"
)

// shelf is a bucket that holds sealed values; the zero one is the book itself, which holds buckets.
type shelf struct {
	sort string
	bow  string // of entries only
}

// within is the shelf of that name on this one. What has no place in a book is on none.
func (s shelf) within(name string) shelf {
	switch {
	case s == shelf{sort: sortEntries}:
		return shelf{sortEntries, name}
	case s == shelf{} && slices.Contains(sorts(), name):
		return shelf{sort: name}
	}
	return shelf{}
}

// sorts are the names of the shelves that a book may have.
func sorts() []string {
	return append(firstParts(), sortTags, sortSettings)
}

// String says what stands on the shelf.
func (s shelf) String() string {
	switch {
	case s.bow != "":
		return fmt.Sprintf("the entries of bow %s", s.bow)
	case s.sort == sortEntries:
		return "the list of which bows have entries"
	case s.sort == sortBows:
		return "the descriptions of bows"
	}
	return fmt.Sprintf("the %s", s.sort)
}

// spot is where a whole value stands in the file.
type spot struct {
	at   int64
	size int64
	from state
}

// state is from which state of the book a value is.
type state byte

const (
	newest   state = iota // as the newest head page that is whole has it
	previous              // as the other head page has it
	loose                 // on a page that neither of them reaches whole
)

// stray is a value under an entry's key whose bow has to be found out.
type stray struct {
	key   record.Key
	spot  spot
	alone bool // on a page that is as it was written, and holds nothing else
}

// flaw is a value in the book's newest state that is not whole.
type flaw struct {
	in  shelf
	key string
	at  int64
	err error
}

// fault is the flaw as it is told of.
func (f flaw) fault() Fault {
	told := Fault{Bow: f.in.bow, Err: f.err}
	switch f.in.sort {
	case sortBows:
		told.Bow = f.key
	case sortEntries:
		told.Entry = storedItem{key: []byte(f.key)}.name()
	}
	return told
}

// salvage is what is found in a book's file, whatever its state.
type salvage struct {
	raw      *raw
	found    map[shelf]map[string]spot
	bows     map[string]bool    // ids of bows, as far as any page names them
	nameless map[string]bool    // bows whose id was made up
	fixed    map[uint32]shelf   // by marks
	strays   map[uint32][]stray // by marks
	held     map[uint64]bool    // pages that were read whole as parts of a tree
	flaws    []flaw
	gaps     []Fault
	lacking  map[shelf]bool // of which the newest state lacks a part
	flawed   map[shelf]map[string]bool
}

// search finds every whole value in the file. Those that the newest state of the book reaches come first; pages that
// it no longer uses are asked only for what it should have and has not: they may hold what was never confirmed.
func search(file io.ReaderAt, size int64) *salvage {
	metas, torn := headPages(file, size)
	page := int64(pageSize)
	if len(metas) > 0 {
		page = metas[0].pageSize
	}
	s := &salvage{
		raw: newRaw(file, size, page), found: make(map[shelf]map[string]spot), bows: make(map[string]bool), nameless: make(map[string]bool),
		fixed: make(map[uint32]shelf), strays: make(map[uint32][]stray), held: make(map[uint64]bool), lacking: make(map[shelf]bool), flawed: make(map[shelf]map[string]bool),
	}
	for _, sort := range sorts() {
		if sort != sortEntries {
			s.fixed[mark(layoutVersion, sort, "")] = shelf{sort: sort}
		}
	}
	if torn != nil {
		s.gap(shelf{}, nil, torn)
	}
	for i, m := range metas {
		// What lies behind the file's end is missed where something leads there.
		m.high = min(m.high, s.raw.pages())
		t := tree{walker: walker{file: file, meta: m, used: make(map[uint64]bool)}, salvage: s, of: state(i)}
		t.walk(m.root, shelf{}, nil, nil, 0)
		if i == 0 {
			s.missParts()
			if err := t.spare(); err != nil {
				s.gap(shelf{}, nil, err)
			}
		}
	}
	if len(s.lacking) > 0 || len(s.flaws) > 0 {
		s.scan()
	}
	return s
}

// headPages are the head pages that are whole, the newest first. torn says what is wrong where one of them is not.
func headPages(file io.ReaderAt, size int64) (whole []metaPage, torn error) {
	read := func(at int64) bool {
		head := make([]byte, pageHeader+metaLength)
		n, _ := file.ReadAt(head, at) // what cannot be read is not there
		m, err := parseMeta(head[:n])
		if err != nil || m.pageSize < smallestPage || m.pageSize > largestPage || m.pageSize&(m.pageSize-1) != 0 || at != 0 && m.pageSize != at {
			return false
		}
		whole = append(whole, m)
		return true
	}
	read(0)
	for at := int64(smallestPage); at <= min(largestPage, size); at *= 2 {
		if read(at) {
			break
		}
	}
	if len(whole) == 2 && whole[0].tx < whole[1].tx {
		whole[0], whole[1] = whole[1], whole[0]
	}
	switch {
	case len(whole) == 0:
		return nil, fmt.Errorf("%w: both of its head pages", ErrDamaged)
	case len(whole) == 1 || whole[0].tx != whole[1].tx+1: // each commit writes the one that the one before did not
		return whole, fmt.Errorf("%w: %w", ErrDamaged, errOneHead)
	}
	return whole, nil
}

// errOneHead is what a book says that falls back to the state before the last one.
var errOneHead = errors.New("one of its two head pages; what was saved last may be missing")

// gap notes that a part of the newest state cannot be read. from is the key from which on something is missing there.
func (s *salvage) gap(in shelf, from []byte, err error) {
	s.lacking[in] = true
	if in == (shelf{}) {
		s.gaps = append(s.gaps, Fault{Err: err})
		return
	}
	what := in.String()
	if in.bow != "" && len(from) == len(record.Key{}) {
		what += " " + fmt.Sprintf("from %s on", record.Key(from).String())
	}
	s.gaps = append(s.gaps, Fault{Bow: in.bow, Err: fmt.Errorf("%s: %w", what, err)})
}

// missParts notes what the newest state should have been found to have.
func (s *salvage) missParts() {
	for _, sort := range firstParts() {
		if s.found[shelf{sort: sort}] == nil && !s.lacking[shelf{}] && !s.lacking[shelf{sort: sort}] {
			s.gap(shelf{sort: sort}, nil, ErrDamaged)
		}
	}
	for id := range s.found[shelf{sort: sortBows}] {
		if in := (shelf{sortEntries, id}); s.found[in] == nil && len(s.lacking) == 0 {
			s.gap(in, nil, ErrDamaged)
		}
	}
}

// wants says whether older pages are asked for a value. Forms that were dropped lie on them too, so that those are asked for
// only where some may be missing.
func (s *salvage) wants(in shelf, key string) bool {
	if in.sort != sortDrafts && len(s.lacking) > 0 {
		return true // A branch that leads astray shows elsewhere than where something is missing.
	}
	// An entry whose key is damaged stands under another one.
	return s.lacking[shelf{}] || s.lacking[in] || s.flawed[in][key] || in.sort == sortEntries && len(s.flawed[in]) > 0
}

// flaw notes a value of the newest state that is not whole.
func (s *salvage) flaw(f flaw) {
	s.flaws = append(s.flaws, f)
	if s.flawed[f.in] == nil {
		s.flawed[f.in] = make(map[string]bool)
	}
	s.flawed[f.in][f.key] = true
}

// open begins a shelf.
func (s *salvage) open(in shelf) map[string]spot {
	if s.found[in] == nil {
		s.found[in] = make(map[string]spot)
	}
	return s.found[in]
}

// keep notes a whole value, unless one under its key was found before. What is written once and never changed is the same
// on all pages; of forms that lie about, the one that was filled in farthest is kept.
func (s *salvage) keep(in shelf, key string, at spot) {
	before, have := s.found[in][key]
	fuller := in.sort == sortDrafts && before.from == loose && at.size > before.size
	if have && !fuller || at.from != newest && !s.wants(in, key) {
		return
	}
	s.open(in)[key] = at
}

// value reads a value again that was found whole.
func (s *salvage) value(in shelf, key string, at spot) ([]byte, error) {
	s.raw.budget = at.size
	value, ok := s.raw.bytes(nil, 0, at.at, at.size)
	if !ok {
		return nil, fmt.Errorf("%s: %w: the disk does not give it", place{in.sort, in.bow, []byte(key)}, ErrDamaged)
	}
	return value, nil
}

// scan reads the pages that no tree has reached whole.
func (s *salvage) scan() {
	for id := uint64(2); id < s.raw.pages(); id++ {
		if s.held[id] {
			continue
		}
		start := int64(id) * s.raw.pageSize
		page := s.raw.page(id)
		if len(bytes.Trim(page, "\x00")) == 0 {
			continue
		}
		s.raw.branchKeys(page, start, func(key []byte) { s.bows[string(key)] = true })
		alone := len(page) >= pageHeader && page[8] == leafFlag && page[9] == 0 && page[10] == 1 && page[11] == 0
		s.raw.leaf(page, start, func(e element) { s.sort(e, alone) })
	}
	s.place()
}

// sort puts an element of an old page where it belongs.
func (s *salvage) sort(e element, alone bool) {
	if e.bucket {
		s.bows[string(e.key)] = true
		if len(e.value) > bucketHeader+pageHeader {
			at := e.at + bucketHeader
			s.raw.leaf(e.value[bucketHeader:], at, func(within element) {
				if !within.bucket {
					s.sort(within, false)
				}
			})
		}
		return
	}
	m, ok := markOf(e.key, e.value)
	if !ok {
		return
	}
	at := spot{at: e.at, size: int64(len(e.value)), from: loose}
	in, fixed := s.fixed[m]
	switch {
	case fixed:
		if in.sort == sortBows || in.sort == sortTags {
			s.bows[string(e.key)] = true
		}
		s.keep(in, string(e.key), at)
	case len(e.key) == len(record.Key{}):
		s.strays[m] = append(s.strays[m], stray{record.Key(e.key), at, alone})
	default:
		s.bows[string(e.key)] = true // of a description that is not whole, perhaps
	}
}

// place finds the bows of strays: first those that have a name, then the others, which tell by the mark that they
// share that they are of one bow and whole. One that shares it with no other is only believed where nothing on its page
// speaks against it.
func (s *salvage) place() {
	for id := range s.bows {
		in := shelf{sortEntries, id}
		m := mark(layoutVersion, in.sort, in.bow)
		for _, one := range s.strays[m] {
			s.keep(in, string(one.key[:]), one.spot)
		}
		delete(s.strays, m)
	}
	for m, strays := range s.strays {
		if !s.oneBow(strays) {
			continue
		}
		id := unknownBow(m)
		s.nameless[id] = true
		entries := s.open(shelf{sortEntries, id})
		for _, one := range strays {
			entries[string(one.key[:])] = one.spot
		}
	}
}

// oneBow says whether strays of one mark can be taken for whole entries of one bow.
func (s *salvage) oneBow(strays []stray) bool {
	for _, one := range strays {
		if one.key != strays[0].key {
			return true
		}
	}
	for _, keys := range s.found {
		if _, known := keys[string(strays[0].key[:])]; known {
			return false // a damaged copy of an entry that is there
		}
	}
	return strays[0].alone && (s.lacking[shelf{}] || s.lacking[shelf{sort: sortEntries}])
}

// unknownBow is the id of a bow of which nothing is known but the mark of its entries.
func unknownBow(mark uint32) string { return fmt.Sprintf("recovered-%08x", mark) }
