// Package terminal drives the real program as a person at a terminal does, for
// end-to-end tests: it starts a command on a pseudo-terminal, lets a terminal
// emulator draw what comes out, presses keys and waits for what should appear.
//
//	term := terminal.Start(t, exec.Command(terminal.Build(t)), terminal.Size{Columns: 80, Rows: 24})
//	term.See("Rack")
//	term.Type("n")
//	term.See("New bow")
//	term.Press(terminal.Esc)
//
// Nothing here sleeps or guesses how long something takes. Waiting is woken by
// each piece of output and gives up at a deadline (see [Patience]); what then
// fails prints what was awaited and the whole screen. A waiting method ends the
// test by t.Fatal, so it must be called from the test's own goroutine, and a
// Terminal serves one goroutine.
//
// Wait for the first frame by See before the first key: until the program has
// set its terminal to single keys, what is typed can reach it in one lump.
// A screen is looked at whenever a piece of output has arrived, and a frame can
// arrive in two pieces, so wait for what appears rather than for what vanishes.
//
// # The emulator
//
// It is charmbracelet/x/vt, which keeps wide and combining characters in their
// cells, has the alternate screen, scroll regions and all the ways of erasing,
// and answers a program's questions for the cursor's position, the terminal's
// kind and its background colour (black). It falls short in three places, none
// of which a bubbletea program comes near: a wide character that begins in the
// last column is lost instead of wrapped, "erase from the top to the cursor"
// takes the rest of the cursor's line as well, and the terminal's name and
// version (XTVERSION) are not told.
//
// Where there are no pseudo-terminals, as on Windows, the package compiles and
// Start skips the test.
package terminal
