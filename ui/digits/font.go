package digits

import "strings"

// picture returns the dots of a character, if it has any. The figures are three
// dots wide and fill the height, so that a row of them stands still while it
// counts; a sign is as wide as it must be.
func picture(r rune) (rows [dots]string, ok bool) {
	drawn := drawing(r)
	if drawn == "" {
		return rows, false
	}
	copy(rows[:], strings.Split(drawn, "|"))
	return rows, true
}

// drawing returns a character's rows from top to bottom, divided by '|'.
func drawing(r rune) string {
	switch r {
	case ' ':
		return "  |  |  |  |  "
	case '0':
		return "###|# #|# #|# #|###"
	case '1':
		return " # |## | # | # |###"
	case '2':
		return "###|  #|###|#  |###"
	case '3':
		return "###|  #|###|  #|###"
	case '4':
		return "# #|# #|###|  #|  #"
	case '5':
		return "###|#  |###|  #|###"
	case '6':
		return "###|#  |###|# #|###"
	case '7':
		return "###|  #|  #|  #|  #"
	case '8':
		return "###|# #|###|# #|###"
	case '9':
		return "###|# #|###|  #|###"
	case '.':
		return " | | | |#"
	case ',':
		return " | | |#|#"
	case ':':
		return " |#| |#| "
	case '/':
		return "   #|  # |  # | #  |#   "
	case '-':
		return "   |   |###|   |   "
	case '+':
		return "   | # |###| # |   "
	case '_':
		return "   |   |   |   |###"
	case '"':
		return "# #|# #|   |   |   "
	case '\'':
		return "#|#| | | "
	case '?':
		return "###|  #| ##|   | # "
	case 'b':
		return "#  |#  |###|# #|###"
	case 'c':
		return "   |   |###|#  |###"
	case 'g':
		return "   |###|# #|###|  #"
	case 'i':
		return "#| |#|#|#"
	case 'k':
		return "#  |# #|## |## |# #"
	case 'l':
		return "#|#|#|#|#"
	case 'm':
		return "     |     |#####|# # #|# # #"
	case 'n':
		return "   |   |###|# #|# #"
	}
	return letter(r)
}
