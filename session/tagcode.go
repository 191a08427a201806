package session

import (
	"encoding/binary"
	"errors"
	"math"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
)

// tagLayout is raised whenever a tag says other things, or a story comes to other ones: tags of another layout are made anew.
const tagLayout = 1

// errTag is for a tag that cannot be read: one of another layout, or half of one.
var errTag = errors.New("a tag of another layout")

// encode is the tag as the book keeps it: the layout, then each value in turn, texts and lists after their length.
func (t Tag) encode() []byte {
	w := tagWriter{tagLayout}
	b := t.Bow
	w.text(b.ID, b.Name, b.Wood, b.Number, string(b.Units.Length), string(b.Units.Force), string(b.Section))
	writeMaybe(&w, b.HandleDepth)
	w.number(float64(b.Rule), float64(b.Scale))
	o := b.Order
	w.text(o.For, string(o.DrawTo), string(o.Due), string(o.Hand))
	writeMaybe(&w, o.Draw)
	writeMaybe(&w, o.Weight)
	writeMaybe(&w, o.Allow)
	w.text(t.Stage, t.Waits)
	w.flag(t.InHand, t.HandedOver, t.Finishing, t.Drawn, t.Pull.Known())
	w.time(t.Last)
	w.count(t.Sessions, t.Pass, t.Strokes)
	writeMaybe(&w, t.Set)
	if pull, known := t.Pull.Get(); known {
		w.number(float64(pull.Draw), float64(pull.Peak.Or(0)))
	}
	w.count(len(t.Numbers))
	w.text(t.Numbers...)
	w.count(len(t.facts))
	for _, f := range t.facts {
		w.count(int(f.What))
		w.time(f.At)
		switch f.What {
		case finish.Step:
			w.text(f.Step, string(f.on))
			w.count(f.Coat, f.Grit)
		case finish.Weighing:
			w.number(float64(f.Weight))
		}
	}
	return w
}

// readTag reads what encode wrote. The tag's texts are parts of doc.
func readTag(doc string) (Tag, error) {
	t, r, err := tagHead(doc)
	if err != nil {
		return Tag{}, err
	}
	for range r.length() {
		t.Numbers = append(t.Numbers, r.text())
	}
	t.facts = r.facts()
	if r.short || r.rest != "" {
		return Tag{}, errTag
	}
	return t, nil
}

// factsIn are the facts of what encode wrote, and nothing else of it.
func factsIn(doc string) []fact {
	_, r, _ := tagHead(doc)
	for range r.length() {
		r.text()
	}
	return r.facts()
}

// tagHead reads a tag up to its numbers and facts, which r then stands before.
func tagHead(doc string) (t Tag, r tagReader, err error) {
	if len(doc) == 0 || doc[0] != tagLayout {
		return Tag{}, tagReader{}, errTag
	}
	r = tagReader{rest: doc[1:]}
	b := &t.Bow
	b.ID, b.Name, b.Wood, b.Number = r.text(), r.text(), r.text(), r.text()
	b.Units = measure.Units{Length: measure.LengthUnit(r.text()), Force: measure.ForceUnit(r.text())}
	b.Section = model.Section(r.text())
	b.HandleDepth = readMaybe[measure.Length](&r)
	b.Rule, b.Scale = measure.Length(r.number()), measure.Force(r.number())
	b.Order.For, b.Order.DrawTo, b.Order.Due, b.Order.Hand = r.text(), model.DrawTo(r.text()), model.Day(r.text()), model.Hand(r.text())
	b.Order.Draw, b.Order.Weight, b.Order.Allow = readMaybe[measure.Length](&r), readMaybe[measure.Force](&r), readMaybe[measure.Force](&r)
	t.Stage, t.Waits = r.text(), r.text()
	var pulled bool
	t.InHand, t.HandedOver, t.Finishing, t.Drawn, pulled = r.flag(), r.flag(), r.flag(), r.flag(), r.flag()
	t.Last = r.time()
	t.Sessions, t.Pass, t.Strokes = r.count(), r.count(), r.count()
	t.Set = readMaybe[measure.Length](&r)
	if pulled {
		t.Pull = measure.Some(model.Pull{Draw: measure.Length(r.number()), Peak: measure.Some(measure.Force(r.number()))})
	}
	if r.short {
		return Tag{}, tagReader{}, errTag
	}
	return t, r, nil
}

func (r *tagReader) facts() []fact {
	n := r.length()
	if n == 0 {
		return nil
	}
	facts := make([]fact, 0, n)
	for range n {
		f := fact{Fact: finish.Fact{What: finish.FactKind(r.count()), At: r.time()}}
		switch f.What {
		case finish.Step:
			f.Step, f.on = r.text(), model.Day(r.text())
			f.Coat, f.Grit = r.count(), r.count()
		case finish.Weighing:
			f.Weight = measure.Force(r.number())
		}
		facts = append(facts, f)
	}
	return facts
}

// tagWriter appends values.
type tagWriter []byte

func (w *tagWriter) text(texts ...string) {
	for _, text := range texts {
		w.count(len(text))
		*w = append(*w, text...)
	}
}

func (w *tagWriter) count(counts ...int) {
	for _, n := range counts {
		*w = binary.AppendVarint(*w, int64(n))
	}
}

func (w *tagWriter) number(numbers ...float64) {
	for _, v := range numbers {
		*w = binary.LittleEndian.AppendUint64(*w, math.Float64bits(v))
	}
}

func (w *tagWriter) flag(flags ...bool) {
	for _, v := range flags {
		if v {
			*w = append(*w, 1)
		} else {
			*w = append(*w, 0)
		}
	}
}

// time keeps a time to the nanosecond; one that is not known as no seconds at all.
func (w *tagWriter) time(at time.Time) {
	w.flag(!at.IsZero())
	if !at.IsZero() {
		w.count(int(at.Unix()), at.Nanosecond())
	}
}

func writeMaybe[T ~float64](w *tagWriter, v measure.Optional[T]) {
	w.flag(v.Known())
	if known, ok := v.Get(); ok {
		w.number(float64(known))
	}
}

// tagReader takes values from a text; short says that it ended early. Texts are parts of the whole, so that reading makes none.
type tagReader struct {
	rest  string
	short bool
}

func (r *tagReader) take(n int) string {
	if n < 0 || n > len(r.rest) {
		r.short, r.rest = true, ""
		return ""
	}
	part := r.rest[:n]
	r.rest = r.rest[n:]
	return part
}

func (r *tagReader) count() int {
	if r.rest != "" && r.rest[0] < 0x80 { // most are small
		u := r.rest[0]
		r.rest = r.rest[1:]
		return int(u>>1) ^ -int(u&1)
	}
	var u uint64
	for shift := uint(0); shift < 64; shift += 7 {
		b := r.take(1)
		if r.short {
			return 0
		}
		u |= uint64(b[0]&0x7f) << shift
		if b[0] < 0x80 {
			break
		}
	}
	return int(int64(u>>1) ^ -int64(u&1)) // as binary.AppendVarint folds the sign in
}

// length is a count of things that each take a byte at least.
func (r *tagReader) length() int {
	n := r.count()
	if n < 0 || n > len(r.rest) {
		r.short, r.rest = true, ""
		return 0
	}
	return n
}

func (r *tagReader) text() string { return r.take(r.count()) }

func (r *tagReader) flag() bool {
	if r.rest == "" {
		r.short = true
		return false
	}
	set := r.rest[0] == 1
	r.rest = r.rest[1:]
	return set
}

func (r *tagReader) number() float64 {
	part := r.take(8)
	if len(part) < 8 {
		return 0
	}
	var u uint64
	for i := range 8 {
		u |= uint64(part[i]) << (8 * i)
	}
	return math.Float64frombits(u)
}

func (r *tagReader) time() time.Time {
	if !r.flag() {
		return time.Time{}
	}
	return time.Unix(int64(r.count()), int64(r.count())).UTC()
}

func readMaybe[T ~float64](r *tagReader) measure.Optional[T] {
	if !r.flag() {
		return measure.Optional[T]{}
	}
	return measure.Some(T(r.number()))
}
