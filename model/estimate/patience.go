package estimate

// patience bounds the search for each bow that is tried, in looks at its equations. Of the bows of this
// package's tests that can be strung the hardest draw took 1429 and the hardest brace less than 60. Readings
// that contradict one another lead to bow after bow that cannot be strung, and each would otherwise be sought
// for up to a second.
const patience = 3000
