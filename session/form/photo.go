package form

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/photo"
)

// ReadPhoto reads a bow's stations off a picture, by the shop's settings. It touches nothing else, so it can
// run beside the keys. The error is a sentence for the maker.
func ReadPhoto(bow model.Bow, settings finish.Settings, data []byte) (p *photo.Picture, r photo.Reading,
	err error) {
	board, err := settings.Photo.Board()
	if err != nil {
		return nil, r, fmt.Errorf("the settings of pictures: %w", err)
	}
	if p, err = photo.Open(data); err != nil {
		return nil, r, err
	}
	of := photo.Bow{Handle: float64(bow.Handle)}
	for side, limb := range bow.Limbs {
		for _, at := range limb.Stations {
			of.Stations[side] = append(of.Stations[side], float64(min(at, limb.Length)))
		}
	}
	r, err = photo.Read(p, board, of)
	return p, r, err
}

// TakesPhoto says why no picture can fill the sheet's stations; "" where one can.
func (s *Sheet) TakesPhoto() string {
	if slices.ContainsFunc(s.Questions, func(q Question) bool { return q.pictured }) {
		return ""
	}
	return "a picture fills in only readings to the line"
}

// Photograph fills in the stations that a picture shows, and an open draw by the string's hook. It says what
// was seen, and names what wasn't.
func (s *Sheet) Photograph(r photo.Reading) (says string, err error) {
	if why := s.TakesPhoto(); why != "" {
		return "", errors.New(why)
	}
	seen, all := 0, 0
	var missing []string
	for _, side := range model.Sides {
		var places []string
		for i, at := range s.of.Limbs[side].Stations {
			all++
			l, known := r.At[side][i].Get()
			if !known {
				places = append(places, s.of.Ruler().Print(at))
				continue
			}
			seen++
			if s.Form != "relaxed" {
				l = max(l, 0) // a drawn limb is nowhere above the line, but for an error
			}
			s.answers[stationName(side, i)] = s.fine(l)
		}
		if places != nil {
			missing = append(missing, fmt.Sprintf("%s %s", side, strings.Join(places, ", ")))
		}
	}
	s.answers[byName] = string(model.ByPhoto)
	says = fmt.Sprintf("%d of %d stations are filled in.", seen, all)
	if missing != nil {
		says += fmt.Sprintf(" Not seen: %s.", strings.Join(missing, "; "))
	}
	if draw, known := r.Draw.Get(); known && s.index("draw") >= 0 {
		typed, isTyped := s.lengthOf("draw").Get()
		switch {
		case !isTyped:
			s.answers["draw"] = s.fine(draw)
			says += fmt.Sprintf(" The hook is at %s.", s.of.Ruler().WithUnit(draw))
		case typed-draw > 0.25 || draw-typed > 0.25:
			says += fmt.Sprintf(" The hook looks to be at %s: check the draw.", s.of.Ruler().WithUnit(draw))
		}
	}
	s.retune()
	return says, nil
}

// PhotoLine is what a picture, a draw and a peak fill in, as one line for [Sheet.Line], and what was seen.
func (s *Sheet) PhotoLine(r photo.Reading, draw, peak string) (line, says string, err error) {
	if draw != "" {
		s.answers["draw"] = draw
	}
	if says, err = s.Photograph(r); err != nil {
		return "", "", err
	}
	words := []string{"by", "photo"}
	if s.index("draw") >= 0 {
		words = append([]string{s.answers["draw"]}, words...)
		if peak != "" {
			words = append(words, "peak", peak)
		}
	}
	limb := ""
	for _, q := range s.Questions {
		if q.limb() == "" {
			continue
		}
		if q.limb() != limb {
			limb = q.limb()
			words = append(words, limb)
		}
		words = append(words, cmp.Or(s.answers[q.Name], "-"))
	}
	return strings.Join(words, " "), says, nil
}

// fine is a length in the bow's unit, as finely as a picture shows it.
func (s *Sheet) fine(l measure.Length) string {
	digits := 3
	if s.of.Units.Length == measure.Millimetre {
		digits = 2
	}
	return strconv.FormatFloat(l.In(s.of.Units.Length), 'f', digits, 64)
}

// Differ says how far a picture is from what was read before, station by station, for a bow whose readings
// are in rows of the same stations.
func Differ(bow model.Bow, r photo.Reading, rule model.Readings) (lines []string, median measure.Length) {
	var off []float64
	for _, side := range model.Sides {
		for i, at := range bow.Limbs[side].Stations {
			seen, known := r.At[side][i].Get()
			read, both := rule.At(side, i).Get()
			if !known || !both {
				continue
			}
			d := float64(seen - read)
			off = append(off, max(d, -d))
			lines = append(lines, fmt.Sprintf("%s %s: rule %s, picture %.2f, %+.2f", side,
				bow.Ruler().WithUnit(at), bow.Ruler().Print(read), float64(seen), d))
		}
	}
	if slices.Sort(off); off != nil {
		median = measure.Length(off[len(off)/2])
	}
	return lines, median
}
