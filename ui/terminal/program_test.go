package terminal_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/term"

	"bendbook/ui/terminal"
)

// programVar names the program that the test binary is to be instead of
// running tests.
const programVar = "BENDBOOK_TERMINAL_TEST"

func TestMain(m *testing.M) {
	switch os.Getenv(programVar) {
	case "":
		os.Exit(m.Run())
	case "keys":
		_, err := tea.NewProgram(keys{}, tea.WithAltScreen()).Run()
		if err == nil {
			fmt.Println("left quietly")
			os.Exit(0)
		}
		if errors.Is(err, tea.ErrInterrupted) {
			os.Exit(130)
		}
		os.Exit(1)
	case "ask":
		os.Exit(ask())
	case "deaf":
		deaf()
	}
	os.Exit(2)
}

// program is a command that runs this test binary as one of the programs.
func program(t *testing.T, name string) *exec.Cmd {
	t.Helper()
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(exe)
	cmd.Env = terminal.Environ(programVar + "=" + name)
	return cmd
}

// keys is a bubbletea program that shows what reaches it: the text, how many
// key messages it came in, pastes, the last named key, and the window's size.
type keys struct {
	text, last    string
	count, pastes int
	columns, rows int
}

func (k keys) Init() tea.Cmd { return nil }

func (k keys) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		k.columns, k.rows = msg.Width, msg.Height
	case tea.KeyMsg:
		k.count++
		if msg.Paste {
			k.pastes++
		}
		switch msg.Type {
		case tea.KeyRunes, tea.KeySpace:
			if msg.Alt {
				k.last = msg.String()
				break
			}
			k.text += string(msg.Runes)
		case tea.KeyCtrlC:
			return k, tea.Quit
		default:
			k.last = msg.String()
		}
	}
	return k, nil
}

func (k keys) View() string {
	return fmt.Sprintf("弓 wide │\ntext %s│\nkeys %d, pastes %d, last %s.\nwindow %d×%d.",
		k.text, k.count, k.pastes, k.last, k.columns, k.rows)
}

// ask asks the terminal for the cursor's position and shows what it reads up
// to an R, which ends the answer, or an x, which must have been typed.
func ask() int {
	state, err := term.MakeRaw(os.Stdin.Fd())
	if err != nil {
		return 1
	}
	defer term.Restore(os.Stdin.Fd(), state)
	fmt.Print("\x1b[3;5H\x1b[6n\x1b[Hasked")
	var got []byte
	for buf := make([]byte, 64); !bytes.ContainsAny(got, "Rx"); {
		n, err := os.Stdin.Read(buf)
		if err != nil {
			return 1
		}
		got = append(got, buf[:n]...)
	}
	fmt.Printf("\x1b[2Hread %s.\r\n", strings.ReplaceAll(string(got), "\x1b", "ESC"))
	return 7
}

// deaf says that it is there and reads nothing until it is ended.
func deaf() {
	_, _ = term.MakeRaw(os.Stdin.Fd())
	fmt.Print("here")
	time.Sleep(time.Hour)
}
