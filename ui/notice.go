package ui

// notice is a line for the maker.
type notice struct {
	kind noticeKind
	text string
}

type noticeKind int

const (
	saying  noticeKind = iota // something was done
	warning                   // something is asked
	failing                   // something could not be done
)

// toldMsg brings what was worked out in the background; calling it hands it to the screen that asked.
type toldMsg func() notice
