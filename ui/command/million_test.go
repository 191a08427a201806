package command

import (
	"bufio"
	"context"
	"crypto/sha256"
	"flag"
	"fmt"
	"hash"
	"io"
	"path/filepath"
	"runtime/metrics"
	"testing"
	"time"

	"bendbook/session"
	"bendbook/storage"
)

var million = flag.Bool("million", false, "export a book of 10,000 bows and a million entries, which takes two minutes and a gigabyte of disk")

// TestAMillionEntriesPassInBoundedMemory brings a book's worth of records in and out again, as streams: what comes out is what came in, and
// the program never takes 200 MiB for itself (the book's own pages, which the system lends and takes back, apart).
func TestAMillionEntriesPassInBoundedMemory(t *testing.T) {
	bows := 50
	if *million {
		bows = 10_000
	}
	const each = 100
	path := filepath.Join(t.TempDir(), "much.book")
	d := newDesk()
	d.Now = time.Now
	d.Watch = func() (context.Context, func()) { return t.Context(), func() {} }
	d.OpenBook = func(_ string, readOnly bool) (session.Book, func() error, error) {
		book, err := storage.Open(path, storage.Options{ReadOnly: readOnly})
		if err != nil {
			return nil, nil, err
		}
		return book, book.Close, nil
	}
	d.Err = io.Discard
	came, went := sha256.New(), &watched{Hash: sha256.New()}
	read, write := io.Pipe()
	go func() {
		out := bufio.NewWriter(io.MultiWriter(write, came))
		for n := range bows {
			writeLongbow(out, n, each)
		}
		write.CloseWithError(out.Flush())
	}()
	d.In = read
	begun := time.Now()
	if code := Run(d.World, []string{"import", "-"}); code != Done {
		t.Fatal(code, d.err.String())
	}
	t.Logf("import: %.0f entries a second", float64(bows*each)/time.Since(begun).Seconds())
	d.Out, begun = went, time.Now()
	if code := Run(d.World, []string{"export", "--all"}); code != Done {
		t.Fatal(code, d.err.String())
	}
	t.Logf("export: %.0f entries a second, %.0f MB, %.0f MiB of memory at the most",
		float64(bows*each)/time.Since(begun).Seconds(), float64(went.bytes)/1e6, float64(went.peak)/(1<<20))
	if string(came.Sum(nil)) != string(went.Sum(nil)) {
		t.Error("what came out is not what came in")
	}
	if went.peak > 200<<20 {
		t.Errorf("the export took %d MiB of memory", went.peak>>20)
	}
}

// watched looks at the memory that the program has from the system each time a record passes.
type watched struct {
	hash.Hash
	peak, bytes uint64
}

// Write implements io.Writer.
func (w *watched) Write(p []byte) (int, error) {
	sample := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	metrics.Read(sample)
	w.peak = max(w.peak, sample[0].Value.Uint64()-sample[1].Value.Uint64())
	w.bytes += uint64(len(p))
	return w.Hash.Write(p)
}

// writeLongbow writes the record of one bow, its pulls and scrapes.
func writeLongbow(w io.Writer, n, entries int) {
	const stations = "[6,8,12,16,20,24,28,32]"
	fmt.Fprintf(w, `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"bow-%06d","name":"Bow %d","limbs":{"upper":{"length":34,"stations":%s},"lower":{"length":33,"stations":%s}}},"entries":[`,
		n, n, stations, stations)
	for i := range entries {
		if i > 0 {
			fmt.Fprint(w, ",")
		}
		at := time.Date(2010, 1, 1+n%4000, 8+i/60, i%60, 0, 0, time.UTC).Format(time.RFC3339)
		if i%5 == 4 {
			fmt.Fprintf(w, `{"id":"%d-%d","at":"%s","kind":"scrape","limb":"upper","from":6,"to":12,"tool":"scraper","strokes":%d}`, n, i, at, 1+i%20)
			continue
		}
		fmt.Fprintf(w, `{"id":"%d-%d","at":"%s","kind":"pull","draw":%d,"peak":%d.5,"from":"line","upper":[0.%03d,0.64,1.44,2.56,4,5.76,7.84,10.24],"lower":[0.%03d,0.63,1.43,2.55,4,5.75,7.83,10.23]}`,
			n, i, at, 12+i%16, 20+i%30, i+100, i+101)
	}
	fmt.Fprintln(w, "]}")
}
