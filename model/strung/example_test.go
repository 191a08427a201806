package strung_test

import (
	"fmt"

	"bendbook/model/strung"
)

// A bow of 72 in nock to nock, braced to 6 in and drawn to 28 in from the belly, in inches and pounds-force.
func Example() {
	limb := strung.Limb{Length: 34, At: []float64{0, 30.6, 34}, Stiffness: []float64{60000, 6000, 6000}}
	solver, err := strung.New(strung.Bow{Handle: 4, Upper: limb, Lower: limb}, strung.ByBrace(6))
	if err != nil {
		fmt.Println(err)
		return
	}
	var bow strung.Solution
	if err := solver.Draw(28, &bow); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("string %.2f in, force %.2f lbf, work %.0f lbf·in, nock at %.2f, %.2f in\n",
		bow.StringLength, bow.Force, bow.Work, bow.Upper.NockX, bow.Upper.NockY)

	var d strung.Derivatives
	if err := solver.Derive(&bow, &d); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("an inch more draw adds %.2f lbf, "+
		"a hundredth more stiffness at the root of the upper limb %.3f lbf\n",
		d.Force[d.Columns.Draw], 0.01*d.Force[d.Columns.Stiffness[0]])

	fmt.Println(solver.Draw(5, &bow))
	// Output:
	// string 70.46 in, force 44.20 lbf, work 509 lbf·in, nock at 32.06, 13.41 in
	// an inch more draw adds 2.30 lbf, a hundredth more stiffness at the root of the upper limb 0.199 lbf
	// the string is slack: asked for 5, the limit is 6
}
