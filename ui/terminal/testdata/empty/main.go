// Command empty is the least bubbletea program: the yardstick for how soon a screen can show and answer a key.
package main

import (
	"fmt"
	"os"

	tea "github.com/charmbracelet/bubbletea"

	_ "bendbook/ui/background" // before bubbletea asks the terminal
)

type keys int

func (k keys) Init() tea.Cmd { return nil }

func (k keys) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if msg, isKey := msg.(tea.KeyMsg); isKey {
		if msg.Type == tea.KeyCtrlC {
			return k, tea.Quit
		}
		k++
	}
	return k, nil
}

func (k keys) View() string { return fmt.Sprintf("keys: %d.", int(k)) }

func main() {
	if _, err := tea.NewProgram(keys(0), tea.WithAltScreen()).Run(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
