package form

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
)

// DustCaution stands where wood or horn is worked; local rules and qualified teaching come first.
const DustCaution = "Wear a dust mask: yew and tropical woods, horn and bone dust harm the lungs."

// StageCaution is the caution of a stage of finishing: dust where wood or horn is worked, care where the
// bow is strung; "" where none is called for.
func StageCaution(stage finish.Standing) string {
	switch name := strings.ToLower(stage.Name); {
	case stage.Wood || strings.Contains(name, "nock") || strings.Contains(name, "rough"):
		return DustCaution
	case strings.Contains(name, "strung"):
		return StringCaution
	case stage.Rest > 0:
		return "Mind the fumes: varnish, oil and glue want fresh air and no flame; rags with oil can take " +
			"fire by themselves."
	}
	return ""
}

// OnDay asks on which day a step of finishing was done: today, or one before it.
func OnDay(step model.Finish, title string, now time.Time, dates date.Order) *Sheet {
	today := now.Format(time.DateOnly)
	day := field[model.Finish]{
		path: "on",
		Question: Question{
			Name: "day", Label: "day", Group: "finish", Must: true, Preset: dates.Print(now),
			Hint: fmt.Sprintf("like %s, or -1 for yesterday; Enter alone for today",
				dates.Print(now.AddDate(0, 0, -1))),
			doubt: func(_ *Sheet, text string) string {
				if day, err := parseDay(text, now, dates); err == nil && day.Before(now.AddDate(-1, 0, 0)) {
					return fmt.Sprintf("%s is more than a year ago: %s", dates.Print(day), keepIt)
				}
				return ""
			},
		},
		set: func(_ model.Bow, f *model.Finish, text string) error {
			day, err := parseDay(text, now, dates)
			if text := day.Format(time.DateOnly); err == nil && text != today {
				f.On = model.Day(text)
			}
			return err
		},
	}
	return entrySheet(Kind{Form: "step", Title: title},
		table[model.Finish]{was: step, fields: []field[model.Finish]{day}})
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
