package form

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/session"
)

// Weigh asks for the bow's weight at the ordered draw: a pull without a walk round the stations.
func Weigh(story session.Story) *Sheet {
	bow := story.Bow()
	s := Pull(story)
	s.Form, s.Title = "weigh", "Weigh at the ordered draw"
	s.Questions = s.Questions[:2]
	if draw, known := bow.DrawToBelly().Get(); known {
		s.Questions[0].Preset = exactLength(bow, draw)
		s.Questions[0].Hint = fmt.Sprintf("from the belly to the hook; Enter alone for the ordered draw, %s", bow.Ruler().WithUnit(draw))
	}
	s.Questions[1].Must = true
	s.Questions[1].Hint = peakHint(bow)
	return s
}

// OnDay asks on which day a step of finishing was done: today, or one before it.
func OnDay(step model.Finish, title string, now time.Time, dates date.Order) *Sheet {
	today := now.Format(time.DateOnly)
	return newSheet("step", title, []Question{{
		Name: "day", Label: "day", Group: "finish", Must: true, Preset: dates.Print(now),
		Hint: fmt.Sprintf("like %s, or -1 for yesterday; Enter alone for today", dates.Print(now.AddDate(0, 0, -1))),
		check: func(_ *Sheet, text string) error {
			_, err := parseDay(text, now, dates)
			return err
		},
		doubt: func(_ *Sheet, text string) string {
			if day, err := parseDay(text, now, dates); err == nil && day.Before(now.AddDate(-1, 0, 0)) {
				return fmt.Sprintf("%s is more than a year ago: %s", dates.Print(day), keepIt)
			}
			return ""
		},
	}}, func(s *Sheet) (Outcome, error) {
		day, err := parseDay(s.answer("day"), now, dates)
		if err != nil {
			return Outcome{}, err
		}
		step := step
		if text := day.Format(time.DateOnly); text != today {
			step.On = model.Day(text)
		}
		return Outcome{Event: step}, nil
	})
}

// parseDay reads a day that is not to come: as a date, or as so many days before today.
func parseDay(text string, now time.Time, dates date.Order) (time.Time, error) {
	year, month, date := now.Date()
	today := time.Date(year, month, date, 0, 0, 0, 0, time.UTC)
	if back, err := strconv.Atoi(text); err == nil && back <= 0 && back > -10_000 {
		return today.AddDate(0, 0, back), nil
	}
	day, err := dates.Parse(text, now)
	switch {
	case err != nil:
		return day, fmt.Errorf("%w, or -1 for yesterday", err)
	case day.After(today):
		return day, fmt.Errorf("%s is still to come; expected the day on which it was done", text)
	case day.Year() < 1970:
		return day, fmt.Errorf("%s is too long ago; expected 1970 or later", text)
	}
	return day, nil
}

// Moisture asks how damp the wood is, by a meter, or the air that it lies in, in the shop or where the bow goes.
func Moisture(story session.Story) *Sheet {
	places := []string{string(model.ShopAir), string(model.HomeAir)}
	unit := story.Bow().WarmthUnit()
	return newSheet("moisture", "Moisture", []Question{
		{Name: "where", Label: "where", Group: "moisture", Must: true, Preset: places[0], Choices: places, Hint: "1 shop, 2 customer: where the bow goes"},
		{Name: "content", Label: "meter", Group: "moisture", Unit: "%", Hint: "what a moisture meter reads in the wood, such as 9; Enter alone for none", check: percent(60)},
		{
			Name: "warmth", Label: "air", Group: "moisture", Unit: unit, Hint: "temperature of the air, such as 20C or 68F; Enter alone for none",
			check: func(_ *Sheet, text string) error { _, err := parseWarmth(text, unit); return err },
		},
		{Name: "humidity", Label: "humidity", Group: "moisture", Unit: "%", Hint: "relative humidity of the air, such as 50; Enter alone for none", check: percent(98)},
	}, func(s *Sheet) (Outcome, error) {
		m := model.Moisture{Where: model.Air(s.answer("where")), Content: s.shareOf("content"), Humidity: s.shareOf("humidity")}
		if text := s.answer("warmth"); text != "" {
			celsius, err := parseWarmth(text, unit)
			if err != nil {
				return Outcome{}, err
			}
			m.Celsius = measure.Some(celsius)
		}
		if !m.Content.Known() && (!m.Celsius.Known() || !m.Humidity.Known()) {
			return Outcome{}, errors.New("that tells nothing: type what the meter reads, or temperature and humidity of the air")
		}
		return Outcome{Event: m}, nil
	})
}

// percent reads a number of per cent from 0 to most.
func percent(most float64) func(*Sheet, string) error {
	return func(_ *Sheet, text string) error {
		v, err := parseNumber(strings.TrimSuffix(text, "%"))
		if err != nil || v < 0 || v > most {
			return fmt.Errorf("%q is no share here; expected per cent from 0 to %g", text, most)
		}
		return nil
	}
}

func (s *Sheet) shareOf(name string) measure.Optional[float64] {
	if v, err := parseNumber(strings.TrimSuffix(s.answer(name), "%")); err == nil {
		return measure.Some(v / 100)
	}
	return measure.Optional[float64]{}
}

// parseWarmth reads a temperature with its unit, C or F, or in the usual one, and gives it in °C.
func parseWarmth(text, usual string) (float64, error) {
	number, unit := strings.ToUpper(strings.ReplaceAll(text, "°", "")), usual
	for _, u := range []string{"C", "F"} {
		if rest, found := strings.CutSuffix(number, u); found {
			number, unit = rest, u
		}
	}
	v, err := parseNumber(number)
	if unit == "F" {
		v = (v - 32) / 1.8
	}
	if err != nil || v < -20 || v > 60 {
		return 0, fmt.Errorf("%q is no temperature of a shop; expected one such as 20C or 68F", text)
	}
	// To a hundredth: what a thermometer says, not what the conversion adds.
	return math.Round(100*v) / 100, nil
}

func parseNumber(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text), ",", ".", 1), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is no number", text)
	}
	return v, nil
}
