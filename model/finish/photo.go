package finish

import (
	"errors"
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/photo"
)

// Photo is how pictures of a bow on the tree are taken, as typed.
type Photo struct {
	Marks    string `json:"marks"`    // the middles of marks 1, 2, …: along and down, a comma between two
	Away     string `json:"away"`     // of the bow from the board
	Stickers string `json:"stickers"` // colours of the stations' and of the handle's
	Upper    string `json:"upper"`    // the side of the picture on which the upper limb hangs
	Folder   string `json:"folder"`   // in which new pictures lie
}

// awayError is how well the bow's distance from the board is known (in, 1 sd; this project's own).
const awayError = 0.25

const toTheLeft = "left"

// Board is the board that pictures are read by. The error says what to type.
func (p Photo) Board() (b photo.Board, err error) {
	for i, mark := range strings.Split(p.Marks, ",") {
		words := strings.Fields(mark)
		if len(words) != 2 {
			return b, fmt.Errorf("mark %d: give two lengths, along and down, such as -32 26", i+1)
		}
		var at [2]float64
		for k, word := range words {
			l, err := measure.ParseLength(word, measure.Inch)
			if err != nil || l < -200 || l > 200 {
				return b, fmt.Errorf("mark %d: %.20q isn't a length: write one such as -32 or 26.5", i+1, word)
			}
			at[k] = float64(l)
		}
		b.Marks = append(b.Marks, at)
	}
	if len(b.Marks) < 6 || len(b.Marks) > 20 {
		return b, errors.New("give the places of 6 to 20 marks")
	}
	away, err := measure.ParseLength(p.Away, measure.Inch)
	if err != nil || away < 0 || away > 40 {
		return b, errors.New("give a distance from 0 to 40 in, such as 3in")
	}
	b.Away, b.AwayError, b.UpperLeft = float64(away), awayError, p.Upper == toTheLeft
	b.Stations, b.Handle, err = photo.ParseColours(p.Stickers)
	return b, err
}

func pictured() []Setting {
	judged := func(as func(*Photo, string)) func(Settings, string) string {
		return func(_ Settings, text string) string {
			p := Usual().Photo
			as(&p, text)
			_, err := p.Board()
			if err != nil {
				return err.Error()
			}
			return ""
		}
	}
	const means = "bendbook help photo says how pictures are taken."
	marks := typed("photo.marks", "marks", "along and down of each mark, such as -32 -8, 0 -8, 32 -8",
		judged(func(p *Photo, text string) { p.Marks = text }))
	marks.most = 400
	return []Setting{
		row("photo", fromProgram, "Where the middles of marks 1, 2 and so on are, in inches. "+
			"Measure from the middle of the handle: along, to the right, then down. "+
			"A minus is to the left, or up. Write a comma between two marks. "+means, marks),
		row("photo", fromProgram, "How far the limbs' sides hang in front of the board with the marks.",
			typed("photo.away", "bow off board", "a length, such as 3in",
				judged(func(p *Photo, text string) { p.Away = text }))),
		row("photo", fromProgram, "The colours of the stickers: at the stations first, then at the handle. "+
			"You can use green, blue and pink.",
			typed("photo.stickers", "stickers", "two colours, such as green, pink",
				judged(func(p *Photo, text string) { p.Stickers = text }))),
		row("photo", fromProgram, "The side of the picture on which the upper limb hangs.",
			oneOf("photo.upper", "upper limb", "right", toTheLeft)),
		row("photo", "nothing", "The folder that your pictures come to. ctrl+p in a form reads the newest one.",
			field{Path: "photo.folder", Label: "pictures in", Hint: "a folder's whole name", most: 400}),
	}
}
