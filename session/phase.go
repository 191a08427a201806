package session

// InFinishing says whether a step of finishing was the last work on the bow.
func (s Story) InFinishing() bool { return s.doing == finishing }

// CameBack says whether the bow is in hand again after it was handed over, and was not worked on since; weighed,
// whether it was pulled with the scale since.
func (s Story) CameBack() (back, weighed bool) { return s.doing == cameBack, s.weighed }
