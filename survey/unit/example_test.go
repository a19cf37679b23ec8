package unit_test

import (
	"fmt"

	"runnel/survey/unit"
)

func ExampleParseLength() {
	for _, text := range []string{`12'-3 1/2"`, "12.29", "3.75 m", "4.5 ft 3"} {
		l, err := unit.ParseLength(text, unit.Foot)
		fmt.Println(l.FeetInches(), err)
	}
	// Output:
	// 12'-3 1/2" <nil>
	// 12'-3 1/2" <nil>
	// 12'-3 5/8" <nil>
	// 0'-0" two units stand in one value and the feet are not whole; write 4.75 ft or 57 in
}

func ExampleParseFieldBook() {
	rod, _ := unit.ParseFieldBook(`5'-1 7/16"`)
	fmt.Println(rod.Inches(), "in")
	_, err := unit.ParseFieldBook("5.4")
	fmt.Println(err)
	// Output:
	// 61.4375 in
	// 5.4 may be 5.4 ft or 5 ft 4 in; write 5.4 ft or 5'-4"
}

func ExampleParseSlope() {
	for _, text := range []string{"1/4 in/ft", "1:48", "2.08%"} {
		s, _ := unit.ParseSlope(text)
		fmt.Println(s.InPerFt(), s.OneIn())
	}
	// Output:
	// 1/4 in/ft 1:48
	// 1/4 in/ft 1:48
	// 0.250 in/ft 1:48.1
}

func ExampleSlopeOf() {
	s := unit.SlopeOf(2.5*unit.Inch, 10*unit.Foot)
	fmt.Println(s == 0.25*unit.InchPerFoot, s.Format(unit.US), s.Format(unit.Metric))
	// Output: true 1/4 in/ft 1:48
}

func ExampleLength_Mark() {
	thin, thick := 0.5*unit.Inch, 1.5*unit.Inch
	fmt.Println(thin.Mark(unit.US), "to", thick.Mark(unit.US))
	fmt.Println(thin.Mark(unit.Metric), "to", thick.Mark(unit.Metric))
	// Output:
	// 1/2 to 1-1/2
	// 13 to 38
}
