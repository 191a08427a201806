//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package terminal

import (
	"errors"
	"os"
	"os/exec"
)

// pair stands for a pseudo-terminal where there are none.
type pair struct {
	master, slave *os.File
}

func openPair(Size) (*pair, error) {
	return nil, errors.ErrUnsupported
}

func (*pair) start(*exec.Cmd) error { return errors.ErrUnsupported }

func (*pair) resize(Size) {}

func (*pair) unread() bool { return false }
