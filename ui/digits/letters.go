package digits

// letter returns a capital letter's rows as drawing does, "" for what is none. Where a letter and a
// figure are alike in print, the letter is rounder.
func letter(r rune) string {
	switch r {
	case 'A':
		return " # |# #|###|# #|# #"
	case 'B':
		return "## |# #|## |# #|## "
	case 'C':
		return " ##|#  |#  |#  | ##"
	case 'D':
		return "## |# #|# #|# #|## "
	case 'E':
		return "###|#  |## |#  |###"
	case 'F':
		return "###|#  |## |#  |#  "
	case 'G':
		return " ##|#  |# #|# #| ##"
	case 'H':
		return "# #|# #|###|# #|# #"
	case 'I':
		return "###| # | # | # |###"
	case 'J':
		return "  #|  #|  #|# #| # "
	case 'K':
		return "# #|# #|## |# #|# #"
	case 'L':
		return "#  |#  |#  |#  |###"
	case 'M':
		return "#   #|## ##|# # #|#   #|#   #"
	case 'N':
		return "#  #|## #|# ##|#  #|#  #"
	case 'O':
		return " # |# #|# #|# #| # "
	case 'P':
		return "## |# #|## |#  |#  "
	case 'Q':
		return " # |# #|# #| ##|  #"
	case 'R':
		return "## |# #|## |# #|# #"
	case 'S':
		return " ##|#  | # |  #|## "
	case 'T':
		return "###| # | # | # | # "
	case 'U':
		return "# #|# #|# #|# #|###"
	case 'V':
		return "# #|# #|# #|# #| # "
	case 'W':
		return "#   #|#   #|# # #|# # #| # # "
	case 'X':
		return "# #|# #| # |# #|# #"
	case 'Y':
		return "# #|# #| # | # | # "
	case 'Z':
		return "###|  #| # |#  |###"
	}
	return ""
}
