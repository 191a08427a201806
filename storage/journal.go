package storage

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"

	"go.etcd.io/bbolt"
)

const (
	journalFormat  = "bendbook/journal"
	journalVersion = 1
)

func journalPath(book string) string { return book + ".journal" }

// journalHead is the first line of a journal.
type journalHead struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	Book    string `json:"book"` // the book's id
}

// position is a place in a journal: how many bytes are before it, and the checksum of the last line before
// it.
type position struct {
	Size int64  `json:"size"`
	Sum  string `json:"sum"`
}

func (p position) after(text []byte) position {
	return position{p.Size + int64(len(text)) + 1, string(text[len(sealStart) : sealLength-2])}
}

// journal is the journal of a book that is open for writing.
type journal struct {
	path string
	file *os.File // nil until there is one
	at   position // of its end
}

// append adds the lines of a save and syncs them. When it fails, the journal is as before, or the error is
// an ErrUnsure.
func (j *journal) append(lines []line) error {
	var all bytes.Buffer
	at := j.at
	for i, l := range lines {
		if len(lines) > 1 {
			l.Of, l.Left = len(lines), len(lines)-1-i
		}
		text, err := l.text()
		if err != nil {
			return err
		}
		at = at.after(text)
		all.Write(append(text, '\n'))
	}
	_, err := j.file.WriteAt(all.Bytes(), j.at.Size)
	if err == nil {
		err = j.file.Sync()
	}
	if err != nil {
		return also(err, j.cutTo(j.at))
	}
	j.at = at
	return nil
}

// cutTo takes back what stands behind a position.
func (j *journal) cutTo(at position) error {
	err := j.file.Truncate(at.Size)
	if err == nil {
		err = j.file.Sync()
	}
	if err != nil {
		return fmt.Errorf("%w (%w)", ErrUnsure, err)
	}
	j.at = at
	return nil
}

// inPlace says whether the journal lies at its path as it was left.
func (j *journal) inPlace() bool {
	info, err := os.Stat(j.path)
	return err == nil && info.Size() == j.at.Size && stillAt(j.path, j.file)
}

func (j *journal) close() error {
	if j == nil || j.file == nil {
		return nil
	}
	return j.file.Close()
}

// eachText calls visit for each line of a journal, with where it ends. One without its newline, or with
// another checksum, isn't whole.
func eachText(r io.Reader, visit func(text []byte, end position, whole bool)) error {
	in := bufio.NewReaderSize(r, 1<<18)
	var end position
	for {
		text, err := in.ReadBytes('\n')
		if len(text) > 0 {
			body := bytes.TrimSuffix(text, []byte("\n"))
			whole := len(body) < len(text) && sealed(body, "") == nil
			if end.Size += int64(len(text)); whole {
				end.Sum = string(body[len(sealStart) : sealLength-2])
			}
			visit(body, end, whole)
		}
		if errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// endsIn says whether a journal is whole and ends where its book says.
func (h head) endsIn(r io.Reader) (bool, error) {
	var last position
	all := h.Journal.Size > 0
	err := eachText(r, func(_ []byte, end position, whole bool) { all, last = all && whole, end })
	return all && last == h.Journal, err
}

// placedLine is a line that was read from a journal.
type placedLine struct {
	line
	end   position
	whole bool
}

// readJournal reads the lines that are whole in a journal, whatever its state. A last save of which not all
// lines are there was never confirmed: it is left out if it ends behind the position that the book knows.
// book is whose the journal is; "" where that can't be read.
func readJournal(r io.Reader, known position) (book string, lines []placedLine, damaged bool, err error) {
	var h journalHead
	err = eachText(r, func(text []byte, end position, whole bool) {
		p := placedLine{end: end, whole: whole}
		if len(lines) == 0 {
			p.whole = whole && unseal(text, `"format":"`+journalFormat+`"`, &h) == nil
		} else if whole {
			p.whole = unseal(text, "", &p.line) == nil
		}
		lines = append(lines, p)
	})
	if h.Version > journalVersion {
		return "", nil, false, fmt.Errorf("its journal: %w", ErrNewer)
	}
	last := 0 // one behind the last line that was confirmed
	for i := 0; i < len(lines); i++ {
		if n := saved(lines[i:]); n > 0 {
			i += n - 1
			last = i + 1
		} else if lines[i].end.Size <= known.Size {
			last = i + 1
		}
	}
	torn := func(p placedLine) bool { return !p.whole }
	damaged = last == 0 || slices.ContainsFunc(lines[:last], torn)
	return h.Book, slices.DeleteFunc(lines[:last], torn), damaged, err
}

// saved is how many lines the save has that the lines begin with; 0 where they aren't all there.
func saved(lines []placedLine) int {
	n := max(1, lines[0].Of)
	if n > len(lines) {
		return 0
	}
	for i, l := range lines[:n] {
		if !l.whole || max(1, l.Of) != n || l.Left != n-1-i {
			return 0
		}
	}
	return n
}

// renewJournal writes the journal anew from the book. The one that was there gets the name aside; "" if it
// isn't needed.
func (b *Book) renewJournal(aside string) error {
	var at position
	err := newFile(b.journal.path, true, func(draft *os.File) error {
		err := b.db.View(func(tx *bbolt.Tx) (err error) {
			at, err = b.writeLines(tx, draft)
			return err
		})
		if err == nil && aside != "" {
			err = layAside(b.journal.path, aside)
		}
		return also(err, b.journal.close())
	})
	b.journal.file = nil
	if err == nil {
		b.journal.file, err = os.OpenFile(b.journal.path, os.O_RDWR, 0)
	}
	if err != nil {
		return fmt.Errorf("writing its journal: %w", err)
	}
	b.journal.at = at
	return b.commit(nil, func(*bbolt.Tx) error { return nil })
}

// writeLines writes the first line of a journal and all lines of the book, and returns where they end.
func (b *Book) writeLines(tx *bbolt.Tx, to io.Writer) (at position, err error) {
	out := bufio.NewWriterSize(to, 1<<18)
	put := func(_ place, text []byte) error {
		at = at.after(text)
		_, err := fmt.Fprintf(out, "%s\n", text)
		return err
	}
	first, err := seal(journalHead{journalFormat, journalVersion, b.id})
	if err == nil {
		err = put(place{}, first)
	}
	if err == nil {
		err = eachLine(tx, put)
	}
	return at, also(err, out.Flush())
}
