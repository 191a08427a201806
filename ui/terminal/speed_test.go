package terminal_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bendbook/session/booktest"
	"bendbook/session/shop"
	"bendbook/storage"
	"bendbook/ui/terminal"
)

// promisedBook is a book of a thousand bows of sixty entries, a fifth of them in hand, and of one of two thousand, which
// stands first on the rack and is called bow 0.
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

// times are what was measured, in milliseconds.
type times []float64

func (t *times) add(since time.Time) { *t = append(*t, float64(time.Since(since).Microseconds())/1000) }

func (t times) report(b *testing.B, what string) {
	sorted := slices.Sorted(slices.Values(t))
	at := func(share float64) float64 { return sorted[min(len(sorted)-1, int(share*float64(len(sorted))))] }
	b.ReportMetric(at(0.5), what+"-p50-ms")
	b.ReportMetric(at(0.99), what+"-p99-ms")
}

// field is a number that the kernel tells of a process in a file, after a name or in a place; 0 where it tells nothing.
func field(pid int, file string, find func(words []string) (string, bool)) float64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/%s", pid, file))
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(text)) {
		if word, ok := find(strings.Fields(line)); ok {
			n, _ := strconv.ParseFloat(word, 64)
			return n
		}
	}
	return 0
}

// peakMemory is the most that was resident of a process, in MiB.
func peakMemory(pid int) float64 {
	return field(pid, "status", func(words []string) (string, bool) {
		return words[min(1, len(words)-1)], words[0] == "VmHWM:"
	}) / 1024
}

// ticks are the hundredths of a second that a process has worked.
func ticks(pid int) float64 {
	part := func(i int) float64 {
		return field(pid, "stat", func(words []string) (string, bool) { return words[i], len(words) > i })
	}
	return part(13) + part(14)
}

// BenchmarkPromisedLoad runs the program on the load that is promised, on a terminal that answers no queries. Wanted are
// 150 ms until the first screen is whole, 16 ms for 99 keys in 100, each until the screen shows what it brings, 60 MiB,
// and 1 % of a core while nothing is pressed. The empty program's first screen and keys are the yardstick.
func BenchmarkPromisedLoad(b *testing.B) {
	empty := filepath.Join(b.TempDir(), "empty")
	out, err := exec.Command("go", "build", "-buildvcs=false", "-o", empty, "./testdata/empty").CombinedOutput()
	if err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	program, book := terminal.Build(b), promisedBook(b)
	var first, keys, emptyFirst, emptyKeys times
	memory, idle := 0.0, 0.0
	for b.Loop() {
		begun := time.Now()
		term := terminal.Start(b, exec.Command(empty), tree, terminal.Silent)
		term.See("keys: 0.")
		emptyFirst.add(begun)
		for n := 1; n <= 10; n++ {
			begun := time.Now()
			term.Type("x")
			term.See(fmt.Sprintf("keys: %d.", n))
			emptyKeys.add(begun)
		}
		term.Press(terminal.CtrlC)
		term.Wait()

		cmd := exec.Command(program)
		cmd.Dir = filepath.Dir(book)
		cmd.Env = terminal.Environ("BENDBOOK=" + book)
		begun = time.Now()
		term = terminal.Start(b, cmd, tree, terminal.Silent, terminal.Patience(time.Minute))
		term.See("> Bow 0 for cust", "enter bench")
		first.add(begun)
		time.Sleep(time.Second) // a maker looks at the rack first
		worked := ticks(cmd.Process.Pid)
		time.Sleep(2 * time.Second)
		idle = max(idle, (ticks(cmd.Process.Pid)-worked)/2)
		press := func(key string, texts ...string) {
			begun := time.Now()
			term.Type(key)
			term.See(texts...)
			keys.add(begun)
		}
		press("\r", "at 28 in to the belly", "r relaxed")
		press("2", "Pull", "1 of 18")
		press("8", "draw         28")
		press("\r", "2 of 18")
		press("4", "peak          4")
		press("0", "peak         40")
		press("\r", "3 of 18")
		press(string(terminal.CtrlS), "pull to 28 in", "r relaxed")
		press("e", "the newest first", "void it")
		press("q", "r relaxed")
		press("t", "the story", "beside it")
		press("q", "r relaxed")
		press("q", "the rack", "enter bench")
		press("t", "what can be done")
		press("q", "the rack", "enter bench")
		press("/", "find:")
		press("7", "find: 7")
		memory = max(memory, peakMemory(cmd.Process.Pid))
		term.Press(terminal.CtrlC)
		term.Wait()
	}
	first.report(b, "first")
	keys.report(b, "key")
	emptyFirst.report(b, "empty-first")
	emptyKeys.report(b, "empty-key")
	b.ReportMetric(memory, "MiB")
	b.ReportMetric(idle, "idle-%")
}
