package terminal_test

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"bendbook/ui/terminal"
)

// knowAddresses are the packages of others that know package net, for the sake of its addresses alone: in
// flags that hold one, and in what Windows tells of its adapters.
var knowAddresses = []string{"github.com/spf13/pflag", "golang.org/x/sys/windows"}

// The program speaks to no network: none of what it is made of knows a protocol, and what opens a socket,
// calls, listens or asks for a name is not in the binary at all.
func TestTheProgramCannotReachANetwork(t *testing.T) {
	for _, system := range []string{"linux", "darwin", "windows"} {
		cmd := exec.Command("go", "list", "-deps", "-f", `{{if not .Standard}}{{.ImportPath}}{{range .Imports}} {{.}}{{end}}{{end}}`, "bendbook")
		cmd.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(out)) {
			words := strings.Fields(line)
			for _, imported := range words[1:] {
				switch {
				case imported == "net/url", imported == "net/netip": // how an address is written
				case imported == "net" && slices.Contains(knowAddresses, words[0]):
				case imported == "net", strings.HasPrefix(imported, "net/"), imported == "crypto/tls", strings.HasPrefix(imported, "golang.org/x/net"):
					t.Errorf("on %s %s imports %s", system, words[0], imported)
				}
			}
		}
	}
	out, err := exec.Command("go", "tool", "nm", terminal.Build(t)).Output()
	if err != nil {
		t.Fatal(err)
	}
	if functions := strings.Count(string(out), " T "); functions < 1000 {
		t.Fatalf("the program shows only %d functions", functions)
	}
	reaches := regexp.MustCompile(`(?im) t (\S*/)?(syscall\.(socket|connect|bind|listen)|unix\.(socket|connect)|` +
		`windows\.(wsasocket|connect)|net\.(dial|\(\*dialer\)|listen|\(\*resolver\)|lookup)).*$`)
	for _, function := range reaches.FindAllString(string(out), -1) {
		t.Errorf("the program holds %s", function)
	}
}

// A session at the tree writes in the book's folder, and nowhere else in the maker's home.
func TestASessionWritesNowhereButInTheBooksFolder(t *testing.T) {
	home := t.TempDir()
	shop := filepath.Join(home, "shop")
	var env []string
	for name, folder := range map[string]string{
		"HOME": "", "USERPROFILE": "", "XDG_DATA_HOME": "data", "XDG_CONFIG_HOME": "config", "XDG_CACHE_HOME": "cache", "XDG_STATE_HOME": "state",
		"XDG_RUNTIME_DIR": "run", "TMPDIR": "tmp", "TMP": "tmp", "TEMP": "tmp", "APPDATA": "roaming", "LOCALAPPDATA": "local", "PWD": "",
	} {
		if err := os.MkdirAll(filepath.Join(home, folder), 0o700); err != nil {
			t.Fatal(err)
		}
		env = append(env, name+"="+filepath.Join(home, folder))
	}
	bendbook := func(book string, args ...string) *exec.Cmd {
		cmd := exec.Command(terminal.Build(t), args...)
		cmd.Dir = home
		cmd.Env = terminal.Environ(append(slices.Clone(env), "BENDBOOK="+book)...)
		return cmd
	}
	book := filepath.Join(shop, "bows.book")
	term := terminal.Start(t, bendbook(book))
	term.See("The book is empty.")
	term.Type("NHazel")
	term.Press(terminal.CtrlS)
	term.Type("72\r")
	term.See("You haven't read this bow yet.")
	term.Type("12\r20")
	term.Press(terminal.CtrlS)
	term.See("which string")
	term.Press(terminal.Enter)
	term.See("Saved", "pull to 12 in")
	term.Type("w")
	term.See("summary of session 1 of 1")
	// A file is written where it is asked for, and never through a link that somebody laid there.
	if err := os.Symlink(filepath.Join(home, "victim"), filepath.Join(home, "hazel-session-1.txt")); err != nil {
		t.Skip("no links here:", err)
	}
	term.Type("w")
	term.See("Written: hazel-session-1-2.txt")
	for _, name := range []string{"hazel-session-1.txt", "hazel-session-1-2.txt"} {
		if err := os.Remove(filepath.Join(home, name)); err != nil {
			t.Fatal(err)
		}
	}
	term.Press(terminal.CtrlC)
	leaves(t, term, 0)
	for _, args := range []string{"list", "export", "summary hazel --as html", "card hazel --draft", "tally hazel", "settings", "help"} {
		if out, err := bendbook(book, strings.Fields(args)...).CombinedOutput(); err != nil {
			t.Fatalf("%v: %v\n%s", args, err, out)
		}
	}
	if got := filesIn(t, home, shop); len(got) > 0 {
		t.Errorf("beside the book's folder there is %q", got)
	}
	if got := filesIn(t, shop, ""); !slices.Contains(got, "bows.book") {
		t.Errorf("the book's folder holds %q", got)
	}

	// The book of one who names none lies in the data folder; the demo leaves nothing.
	into := bendbook("", "import", "-")
	into.Stdin = strings.NewReader(killedBow)
	if out, err := into.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	term = terminal.Start(t, bendbook("", "demo"))
	term.See("the rack")
	term.Type("q")
	leaves(t, term, 0)
	for _, name := range filesIn(t, home, shop) {
		if !strings.HasPrefix(filepath.ToSlash(name), "data/bendbook/") {
			t.Errorf("there is %s", name)
		}
	}
}

// filesIn are the files and links in a folder and those under it, but not in the one left out.
func filesIn(t *testing.T, folder, without string) (found []string) {
	t.Helper()
	err := filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case path == without:
			return fs.SkipDir
		case !entry.IsDir():
			found = append(found, strings.TrimPrefix(path, folder+string(filepath.Separator)))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}
