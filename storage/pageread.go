package storage

import (
	"encoding/binary"
	"errors"
	"io"
)

// How a walk reads its pages, and where it keeps them.

// read reads the page of that number, and notes it as used.
func (w *walker) read(id uint64) (page, error) {
	if id < 2 || id >= w.meta.high {
		return page{}, damage(id, "it is outside of the book's %d pages", w.meta.high)
	}
	head := w.sheet()
	if err := w.readAt(head, id); err != nil {
		return page{}, err
	}
	p := page{id: id, flags: binary.LittleEndian.Uint16(head[8:]), count: int(binary.LittleEndian.Uint16(head[10:])), bytes: head}
	over := uint64(binary.LittleEndian.Uint32(head[12:]))
	switch {
	case binary.LittleEndian.Uint64(head) != id:
		return page{}, damage(id, "it says to be page %d", binary.LittleEndian.Uint64(head))
	case id+over >= w.meta.high:
		return page{}, damage(id, "it runs over the book's end")
	}
	for part := id; part <= id+over; part++ {
		if w.used[part] {
			return page{}, damage(part, "it is used twice")
		}
		w.used[part] = true
	}
	if over > 0 {
		p.bytes = make([]byte, int64(over+1)*w.meta.pageSize)
		if err := w.readAt(p.bytes, id); err != nil {
			return page{}, err
		}
	}
	return p, nil
}

// sheet is memory for one page.
func (w *walker) sheet() []byte {
	if n := len(w.blank); n > 0 {
		sheet := w.blank[n-1]
		w.blank = w.blank[:n-1]
		return sheet
	}
	return make([]byte, w.meta.pageSize)
}

// done gives back the memory of a page that nothing refers to any more.
func (w *walker) done(p page) {
	if int64(len(p.bytes)) == w.meta.pageSize {
		w.blank = append(w.blank, p.bytes)
	}
}

// parts are the elements of a page, in memory that doneWith takes back.
func (w *walker) parts(p page, low, high []byte) ([]part, error) {
	var room []part
	if n := len(w.void); n > 0 {
		room, w.void = w.void[n-1], w.void[:n-1]
	}
	return p.parts(room, low, high)
}

func (w *walker) doneWith(parts []part) { w.void = append(w.void, parts) }

// pagesAhead is how many pages are read at once where one after the other is asked for.
const pagesAhead = 16

func (w *walker) readAt(into []byte, id uint64) error {
	pages := uint64(len(into)) / uint64(w.meta.pageSize)
	follows := id == w.next
	w.next = id + pages
	at := int64(id-w.aheadOf) * w.meta.pageSize
	if id >= w.aheadOf && at+int64(len(into)) <= int64(len(w.ahead)) {
		copy(into, w.ahead[at:])
		return nil
	}
	if follows && pages < pagesAhead {
		if w.ahead == nil {
			w.ahead = make([]byte, pagesAhead*w.meta.pageSize)
		}
		// What cannot be read of the pages behind it says nothing of this one.
		n, _ := w.file.ReadAt(w.ahead[:cap(w.ahead)], int64(id)*w.meta.pageSize)
		w.ahead, w.aheadOf = w.ahead[:n], id
		if n >= len(into) {
			copy(into, w.ahead)
			return nil
		}
	}
	_, err := w.file.ReadAt(into, int64(id)*w.meta.pageSize)
	if errors.Is(err, io.EOF) {
		return damage(id, "the file ends within it")
	}
	return err
}
