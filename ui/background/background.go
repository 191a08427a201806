// Package background settles what the screen takes the terminal's background for, before anything asks.
//
// On initialisation bubbletea asks the terminal by an escape sequence, in every command of the program, and
// waits up to five seconds for one that doesn't answer. An answer given first keeps it from asking. Packages
// are initialised in the order of their import paths, after those that they import, and "bendbook/..." sorts
// before "github.com/...". That is why the module is called so, and why this package imports only lipgloss.
//
// The answer doesn't matter: the colours of package look can be read on dark and on light.
package background

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
