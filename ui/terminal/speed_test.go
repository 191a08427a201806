package terminal_test

import (
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/storage"
	"bendbook/ui/terminal"
)

// The sizes that the program is measured at: bows in the book, and entries on the bow at work. The other bows have twenty.
var (
	sizesOfBooks = []int{100, 1000, 10_000}
	sizesOfBows  = []int{10, 500, 5000}
)

// largeBook is a book of so many bows, a fifth of them in hand, as the program left it: with tags.
func largeBook(b *testing.B, bows int) (path string) {
	b.Helper()
	path = filepath.Join(b.TempDir(), "bows.book")
	book, err := storage.Open(path, storage.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for i := range bows {
		addLarge(b, book, i+1, 20, i%5 == 0)
	}
	closeTagged(b, book)
	return path
}

func addLarge(b *testing.B, book *storage.Book, i, entries int, inHand bool) {
	b.Helper()
	rec, err := booktest.Bow(i, entries, inHand, time.Now().AddDate(0, -1, 0))
	if err == nil {
		err = book.AddBow(rec, "")
	}
	if err != nil {
		b.Fatal(err)
	}
}

func closeTagged(b *testing.B, book *storage.Book) {
	b.Helper()
	if _, err := session.Open(book, session.Options{}).Rack(); err != nil {
		b.Fatal(err)
	}
	if err := book.Close(); err != nil {
		b.Fatal(err)
	}
}

// withWork is a copy of a book with one bow more, the first on the rack, called bow 0, with so many entries.
func withWork(b *testing.B, path string, entries int) string {
	b.Helper()
	content, err := os.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	larger := filepath.Join(b.TempDir(), "bows.book")
	if err := os.WriteFile(larger, content, 0o600); err != nil {
		b.Fatal(err)
	}
	book, err := storage.Open(larger, storage.Options{})
	if err != nil {
		b.Fatal(err)
	}
	addLarge(b, book, 0, entries, true)
	closeTagged(b, book)
	return larger
}

// emptyProgram builds the yardstick.
func emptyProgram(b *testing.B) (path string) {
	b.Helper()
	path = filepath.Join(b.TempDir(), "empty")
	if out, err := exec.Command("go", "build", "-buildvcs=false", "-o", path, "./testdata/empty").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	return path
}

// times are what was measured, in milliseconds.
type times []float64

func (t *times) add(since time.Time) { *t = append(*t, float64(time.Since(since).Microseconds())/1000) }

// at is the time that a share of them takes at the most.
func (t times) at(share float64) float64 {
	sorted := slices.Sorted(slices.Values(t))
	return sorted[min(len(sorted)-1, int(share*float64(len(sorted))))]
}

func (t times) report(b *testing.B, what string) {
	b.ReportMetric(t.at(0.5), what+"-p50-ms")
	b.ReportMetric(t.at(0.99), what+"-p99-ms")
}

// mapped is how much of the book a process has mapped in memory, in MiB; 0 where the kernel does not say.
func mapped(pid int, book string) float64 {
	maps, err := os.ReadFile(fmt.Sprintf("/proc/%d/smaps", pid))
	if err != nil {
		return 0
	}
	total, ofBook := 0.0, false
	for line := range strings.Lines(string(maps)) {
		fields := strings.Fields(line)
		switch {
		case len(fields) > 0 && !strings.HasSuffix(fields[0], ":"):
			ofBook = fields[len(fields)-1] == book
		case ofBook && fields[0] == "Rss:":
			kib, _ := strconv.ParseFloat(fields[1], 64)
			total += kib / 1024
		}
	}
	return total
}

// memory is what the kernel says of a process's memory under a name, in MiB; 0 where it says nothing.
func memory(pid int, name string) float64 {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(status)) {
		if value, found := strings.CutPrefix(line, name+":"); found {
			kib, _ := strconv.ParseFloat(strings.Fields(value)[0], 64)
			return kib / 1024
		}
	}
	return 0
}

// rest is how long a maker looks at the rack before he takes a bow to the bench. It is the only time that he is given: any other key comes as
// soon as the screen shows what the one before it brought.
const rest = 300 * time.Millisecond

// BenchmarkSizes runs the program on books and bows of each size, on a terminal that answers no queries: until the first screen is whole, then, after a rest, key by
// key at the bow, each until the screen shows what it brings. The key that takes the bow to the bench at once, with the first screen or the mark just moved, is
// told apart. The empty program before it is the yardstick of the same moment. Wanted
// are 80 ms and three times the empty one for the first screen, 16 ms for 99 keys in 100, and 60 MiB at the most, mapped pages of the
// book and the program's own text among them. The log ends with the table that DEVELOPERS.md shows.
func BenchmarkSizes(b *testing.B) {
	empty := emptyProgram(b)
	terminal.Build(b)
	table := "\n| bows | entries | first screen, ms | times the empty program's | a key, ms | to the bench at once | mark just moved | the empty program's key | memory, MiB | own memory | mapped of the book |\n|---|---|---|---|---|---|---|---|---|---|---|\n"
	for _, bows := range sizesOfBooks {
		b.Run(fmt.Sprintf("bows=%d", bows), func(b *testing.B) {
			book := largeBook(b, bows)
			for _, entries := range sizesOfBows {
				work := withWork(b, book, entries)
				var m measured
				b.Run(fmt.Sprintf("entries=%d", entries), func(b *testing.B) {
					m = measured{by: make(map[string]*times)}
					for b.Loop() {
						m.yardstick(b, empty)
						m.program(b, work)
						m.hurried(b, work)
					}
					m.report(b)
				})
				table += m.row(bows, entries)
			}
		})
	}
	b.Log(table)
}

// measured is what is measured at one size, the times in milliseconds, the memory in MiB.
type measured struct {
	first, keys           times
	atOnce, moved         times // taking the bow to the bench with the first screen, and where the mark has come to it just now
	emptyFirst, emptyKeys times
	by                    map[string]*times // of each sort of key
	peak, own, book       float64           // the most that was resident, with the pages of files and without, and that of the book
}

// yardstick runs the empty program.
func (m *measured) yardstick(b *testing.B, empty string) {
	begun := time.Now()
	term := terminal.Start(b, exec.Command(empty), tree, terminal.Silent)
	term.See("keys: 0.")
	m.emptyFirst.add(begun)
	for n := 1; n <= 10; n++ {
		begun := time.Now()
		term.Type("x")
		term.See(fmt.Sprintf("keys: %d.", n))
		m.emptyKeys.add(begun)
	}
	term.Press(terminal.CtrlC)
	term.Wait()
}

// start runs the program on a book until the first screen is whole.
func (m *measured) start(b *testing.B, book string) (*terminal.Terminal, *exec.Cmd) {
	cmd := exec.Command(terminal.Build(b))
	cmd.Dir = filepath.Dir(book)
	cmd.Env = terminal.Environ("BENDBOOK=" + book)
	begun := time.Now()
	term := terminal.Start(b, cmd, tree, terminal.Silent, terminal.Patience(time.Minute))
	term.See("> Bow 0 for cust", "enter bench")
	m.first.add(begun)
	return term, cmd
}

// hurried takes the bow to the bench with the first screen, and again when the mark has just come back to it.
func (m *measured) hurried(b *testing.B, book string) {
	term, _ := m.start(b, book)
	take := func(t *times) {
		begun := time.Now()
		term.Type("\r")
		term.See("at 28 in to the belly", "r relaxed")
		t.add(begun)
	}
	take(&m.atOnce)
	term.Type("q")
	term.See("the rack", "> Bow 0 for cust")
	term.Type("j")
	term.See("  Bow 0 for cust")
	time.Sleep(rest)
	term.Type("k")
	term.See("> Bow 0 for cust")
	take(&m.moved)
	term.Press(terminal.CtrlC)
	term.Wait()
}

// program runs the program on a book as a maker does.
func (m *measured) program(b *testing.B, book string) {
	term, cmd := m.start(b, book)
	press := func(name, key string, texts ...string) {
		begun := time.Now()
		term.Type(key)
		term.See(texts...)
		m.keys.add(begun)
		if m.by[name] == nil {
			m.by[name] = new(times)
		}
		m.by[name].add(begun)
	}
	time.Sleep(rest)
	press("to the bench", "\r", "at 28 in to the belly", "r relaxed")
	for range 2 {
		press("a pull begun", "2", "Pull", "1 of 18")
		press("a digit", "8", "draw         28")
		press("a field confirmed", "\r", "2 of 18")
		press("a digit", "4", "peak          4")
		press("a digit", "0", "peak         40")
		press("a field confirmed", "\r", "3 of 18")
		press("an entry saved", string(terminal.CtrlS), "pull to 28 in", "r relaxed")
	}
	press("the entries", "e", "the newest first", "void it")
	press("back", "q", "r relaxed")
	press("the story", "t", "the story", "beside it")
	press("back", "q", "r relaxed")
	press("the rack", "q", "the rack", "enter bench")
	press("today", "t", "what can be done")
	press("the rack", "q", "the rack", "enter bench")
	press("finding", "/", "find:")
	press("a letter", "7", "find: 7")
	m.peak, m.own = max(m.peak, memory(cmd.Process.Pid, "VmHWM")), max(m.own, memory(cmd.Process.Pid, "RssAnon"))
	m.book = max(m.book, mapped(cmd.Process.Pid, book))
	term.Press(terminal.CtrlC)
	term.Wait()
}

func (m *measured) report(b *testing.B) {
	m.first.report(b, "first")
	b.ReportMetric(m.timesEmpty(), "times-empty")
	m.keys.report(b, "key")
	m.atOnce.report(b, "at-once")
	m.moved.report(b, "moved")
	m.emptyKeys.report(b, "empty-key")
	b.ReportMetric(m.peak, "peak-MiB")
	b.ReportMetric(m.own, "own-MiB")
	b.ReportMetric(m.book, "mapped-MiB")
	for _, name := range slices.Sorted(maps.Keys(m.by)) {
		t := *m.by[name]
		b.Logf("%-20s %4d times, p50 %6.1f ms, p99 %6.1f ms", name, len(t), t.at(0.5), t.at(0.99))
	}
}

func (m *measured) timesEmpty() float64 { return m.first.at(0.5) / m.emptyFirst.at(0.5) }

// row is a line of the table; each time is the middle one and that of which 99 in 100 are no longer.
func (m *measured) row(bows, entries int) string {
	if len(m.first) == 0 {
		return "" // another size was asked for
	}
	return fmt.Sprintf("| %d | %d | %.0f, %.0f | %.1f | %.1f, %.1f | %.0f, %.0f | %.0f, %.0f | %.1f, %.1f | %.0f | %.0f | %.0f |\n", bows, entries,
		m.first.at(0.5), m.first.at(0.99), m.timesEmpty(), m.keys.at(0.5), m.keys.at(0.99), m.atOnce.at(0.5), m.atOnce.at(0.99),
		m.moved.at(0.5), m.moved.at(0.99), m.emptyKeys.at(0.5), m.emptyKeys.at(0.99), m.peak, m.own, m.book)
}
