//go:build darwin || dragonfly || freebsd || netbsd || openbsd

package terminal

// countUnread asks a terminal how many bytes are waiting to be read. It is
// FIONREAD, _IOR('f', 127, int) in sys/filio.h of every one of these systems,
// which golang.org/x/sys has no name for.
const countUnread = 0x4004667f
