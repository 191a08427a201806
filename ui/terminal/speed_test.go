package terminal_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/session/booktest"
	"bendbook/session/shop"
	"bendbook/storage"
	"bendbook/ui/terminal"
)

// promisedBook is a book of a thousand bows of sixty entries, a fifth of them in hand, and of one of two
// thousand, which stands first on the rack and is called bow 0.
func promisedBook(b *testing.B) (path string) {
	b.Helper()
	path = filepath.Join(b.TempDir(), "bows.book")
	book, err := storage.Open(path, storage.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for i := range 1001 {
		entries := 60
		if i == 0 {
			entries = 2000
		}
		rec, err := booktest.Bow(i, entries, i%5 == 0, time.Now().AddDate(0, -1, 0))
		if err == nil {
			err = book.AddBow(rec, "")
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	// The rack is looked at once, as the program leaves it.
	if _, err := shop.Open(book, shop.Options{}).Rack(); err != nil {
		b.Fatal(err)
	}
	if err := book.Close(); err != nil {
		b.Fatal(err)
	}
	return path
}

// report tells the middle and the 99th of 100 times.
func report(b *testing.B, times []time.Duration, what string) {
	slices.Sort(times)
	ms := func(i int) float64 { return float64(times[i].Microseconds()) / 1000 }
	b.ReportMetric(ms(len(times)/2), what+"-p50-ms")
	b.ReportMetric(ms(len(times)*99/100), what+"-p99-ms")
}

// BenchmarkPromisedLoad runs the program on the load that is promised, on a terminal that answers no
// queries. Wanted are 150 ms until the first screen is whole, 16 ms for 99 keys in 100, each until the
// screen shows what it brings and 60 MiB.
func BenchmarkPromisedLoad(b *testing.B) {
	book := promisedBook(b)
	terminal.Build(b)
	var first, keys []time.Duration
	for b.Loop() {
		cmd := bookAt(b, book)
		begun := time.Now()
		term := terminal.StartSilent(b, cmd)
		term.See("> Bow 0 for cust", "enter bench")
		first = append(first, time.Since(begun))
		for _, press := range [][]string{
			{"\r", "at 28 in to the belly", "r relaxed"}, {"2", "Pull", "1 of 18"}, {"8", "draw         28"}, {"\r", "2 of 18"},
			{"4", "peak          4"}, {"0", "peak         40"}, {"\r", "3 of 18"}, {string(terminal.CtrlS), "pull to 28 in", "r relaxed"},
			{"e", "the newest first", "strike out"}, {"q", "r relaxed"}, {"t", "the story", "beside it"}, {"q", "r relaxed"},
			{"q", "the rack", "enter bench"}, {"T", "what can be done"}, {"q", "the rack", "enter bench"}, {"/", "find:"}, {"7", "find: 7"},
		} {
			begun := time.Now()
			term.Type(press[0])
			term.See(press[1:]...)
			keys = append(keys, time.Since(begun))
		}
		status, _ := os.ReadFile(fmt.Sprintf("/proc/%d/status", cmd.Process.Pid)) // nothing where there is no /proc
		_, peak, _ := strings.Cut(string(status), "VmHWM:")
		kib := 0.0
		_, _ = fmt.Sscan(peak, &kib)
		b.ReportMetric(kib/1024, "MiB")
		term.Press(terminal.CtrlC)
		term.Wait()
	}
	report(b, first, "first")
	report(b, keys, "key")
}
