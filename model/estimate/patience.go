package estimate

// patience bounds the search for each bow that is tried, in looks at its equations. Of the bows of this
// package's tests that can be strung the hardest draw took 1429 and the hardest brace less than 60.
const patience = 3000
