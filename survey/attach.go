package survey

// Attach says what holds the boards.
type Attach int

// The ways; the zero value is unset.
const (
	UnsetAttach Attach = iota
	Screws             // one screw through all layers
	BaseScrews         // screws through the base, adhesive from there up
	Adhesive           // adhesive under every layer
)

// String names a as the job file writes it.
func (a Attach) String() string {
	switch a {
	case UnsetAttach:
		return "unset"
	case Screws:
		return "screws"
	case BaseScrews:
		return "base-screws"
	case Adhesive:
		return "adhesive"
	}
	panic("survey: unknown Attach")
}
