//go:build !unix

package terminal

import (
	"errors"
	"os"
	"os/exec"
)

// pair stands for a pseudo-terminal where there are none.
type pair struct{ master, slave *os.File }

func openPair(_, _ uint16) (*pair, error) { return nil, errors.ErrUnsupported }
func (*pair) start(*exec.Cmd) error       { return errors.ErrUnsupported }
func (*pair) unread() bool                { return false }
