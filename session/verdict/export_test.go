package verdict

// ToolOn is what tests from outside ask for.
var ToolOn = toolOn

// RuleNames are the names of all rules.
func RuleNames() (names []string) {
	for _, r := range rules() {
		names = append(names, r.name)
	}
	return names
}
