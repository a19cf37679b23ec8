package fit

import (
	"runnel/survey"
	"runnel/survey/problem"
)

// Screen looks for blunders in the shots of an area before they are fitted.
func Screen(a survey.Area) (survey.Area, problem.List) {
	return a, nil
}
