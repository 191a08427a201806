package session

import (
	"bendbook/model/aim"
	"bendbook/model/plain"
)

// SayAim is what an aim is called where one is chosen, and how the limbs are then to bend, as it is said behind "to bend". The shape of another
// bow tells itself: as Holly.
func SayAim(name string) (called string, how string) {
	switch name {
	case aim.CompassName:
		return "full compass", "in a full compass"
	case aim.EllipseName:
		return "ellipse", "in an ellipse"
	case aim.StiffHandleName:
		return "stiffer at the handle", "stiffer at the handle"
	}
	name = plain.Line(name)
	return name, name
}
