// Package background settles what the screen takes the terminal's background for, before anything asks.
//
// bubbletea's own initialisation asks the terminal by an escape sequence and waits up to five seconds for one that
// does not answer, in every command of the program. Saying the answer first keeps it from asking. Packages are initialised
// in the order of their import paths once what they import is, and "bendbook/..." stands before "github.com/...": that
// is why the module is called what it is, and why this package imports nothing but lipgloss.
//
// The answer itself does not matter: the palette of package look reads on dark and on light.
package background

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
