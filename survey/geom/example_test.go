package geom_test

import (
	"fmt"

	"runnel/survey/geom"
)

func ExampleRing_SelfCrossing() {
	bowTie := geom.Ring{{X: 0, Y: 0}, {X: 60, Y: 40}, {X: 60, Y: 0}, {X: 0, Y: 40}}
	i, j, found := bowTie.SelfCrossing()
	at, _ := geom.Cross(bowTie.At(i), bowTie.At(i+1), bowTie.At(j), bowTie.At(j+1))
	fmt.Println(i, j, found, at)
	// Output: 0 2 true {30 20}
}

func ExampleSubtract() {
	roof := geom.Poly{Outer: geom.Box{Max: geom.Pt{X: 60, Y: 40}}.Ring()}
	court := geom.Poly{Outer: geom.Box{Min: geom.Pt{X: 20, Y: 10}, Max: geom.Pt{X: 30, Y: 20}}.Ring()}
	left, err := geom.Subtract(roof, court)
	fmt.Println(len(left), left[0].Area(), err)
	// Output: 1 2300 <nil>
}
