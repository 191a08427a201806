package storage

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"go.etcd.io/bbolt"
)

const (
	journalFormat  = "bendbook/journal"
	journalVersion = 1
)

func journalPath(book string) string { return book + ".journal" }

// save is a line of a journal: what one save added, and the draft that it dropped. It is sealed, so it
// counts whole or not at all. The first line says whose the journal is.
type save struct {
	Format  string            `json:"format,omitempty"`
	Version int               `json:"version,omitempty"`
	Book    string            `json:"book,omitempty"` // the book's id
	Lines   []json.RawMessage `json:"lines,omitempty"`
	Draft   string            `json:"draft,omitempty"`
}

// position is a place in a journal: how many bytes are before it, and the sum of the last line before it.
type position struct {
	Size int64  `json:"size"`
	Sum  string `json:"sum"`
}

// after is the position behind one more line.
func (p position) after(text []byte) position {
	return position{p.Size + int64(len(text)) + 1, string(text[len(sealStart) : sealLength-2])}
}

// journal is the journal of a book that is open for writing.
type journal struct {
	path string
	file *os.File // nil until there is one
	at   position // of its end
}

// append adds a save and syncs it. When it fails, the journal is as before, or the error is an errUnsure.
func (j *journal) append(s save) error {
	text, err := seal(s)
	if err != nil {
		return err
	}
	_, err = j.file.WriteAt(append(text, '\n'), j.at.Size)
	if err == nil {
		err = j.file.Sync()
	}
	if err != nil {
		return errors.Join(err, j.cutTo(j.at))
	}
	j.at = j.at.after(text)
	return nil
}

// cutTo takes back what stands behind a position.
func (j *journal) cutTo(at position) error {
	err := j.file.Truncate(at.Size)
	if err == nil {
		err = j.file.Sync()
	}
	if err != nil {
		return fmt.Errorf("%w (%w)", errUnsure, err)
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
	if j.file == nil {
		return nil
	}
	return j.file.Close()
}

// readJournal reads a journal in any state, for a book that knows of its first bytes: the whole lines and the
// end of the last one. A last line that isn't whole was never confirmed, if it ends behind those bytes; any
// other is damage.
func readJournal(text []byte, known int64) (lines [][]byte, end position, damaged bool) {
	size, torn := int64(0), false
	for line := range bytes.Lines(text) {
		damaged = damaged || torn
		body, complete := bytes.CutSuffix(line, []byte("\n"))
		if torn = !complete || sealed(body, "") != nil; !torn {
			lines = append(lines, body)
			end = position{Size: size}.after(body)
		}
		size += int64(len(line))
	}
	return lines, end, damaged || torn && size <= known || end.Size == 0
}

// parseSaves parses the lines of a journal. foreign says whether they belong to another book than that.
func parseSaves(lines [][]byte, book string) (saves []save, foreign bool, err error) {
	for _, text := range lines {
		var s save
		if err := unseal(text, &s); err != nil {
			return nil, false, fmt.Errorf("its journal: %w", err)
		}
		if s.Version > journalVersion {
			return nil, false, fmt.Errorf("its journal: %w", errVersion)
		}
		saves = append(saves, s)
	}
	return saves, len(saves) > 0 && saves[0].Format == journalFormat && saves[0].Book != book, nil
}

// renewJournal writes the journal anew from the book. It renames the old one to aside, unless aside is "".
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
		return errors.Join(err, b.journal.close())
	})
	b.journal.file = nil
	if err == nil {
		b.journal.file, err = os.OpenFile(b.journal.path, os.O_RDWR, 0)
	}
	if err != nil {
		return fmt.Errorf("writing its journal: %w", err)
	}
	b.journal.at = at
	return b.commit(save{}, func(*bbolt.Tx) error { return nil })
}

// writeLines writes the first line of a journal and all lines of the book, and returns where they end.
func (b *Book) writeLines(tx *bbolt.Tx, to io.Writer) (at position, err error) {
	out := bufio.NewWriterSize(to, 1<<18)
	write := func(s save) error {
		text, err := seal(s)
		if err == nil {
			at = at.after(text)
			_, err = fmt.Fprintf(out, "%s\n", text)
		}
		return err
	}
	err = write(save{Format: journalFormat, Version: journalVersion, Book: b.id})
	if err == nil {
		err = eachLine(tx, func(_ place, value []byte, wrong error) error {
			if wrong != nil {
				return wrong
			}
			return write(save{Lines: []json.RawMessage{value}})
		})
	}
	return at, errors.Join(err, out.Flush())
}
