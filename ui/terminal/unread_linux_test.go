package terminal

import "golang.org/x/sys/unix"

// countUnread asks a terminal how many bytes are waiting to be read; the
// request has another name on each family of systems.
const countUnread = unix.TIOCINQ
