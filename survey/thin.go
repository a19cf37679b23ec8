package survey

// TooThinIn is the standard error of a surface, in inches, from which on shots
// are too thin to tell a pond of 1/2 in: two standard errors are as deep. Over
// runs of 10 ft and more slopes are told to some 1/16 in/ft there still. Common
// practice, no source.
const TooThinIn = 0.25

// IsThin says whether the shots about cell k are too thin to tell a shallow
// pond there. A surface without errors is thin nowhere.
func (s *Surface) IsThin(k int) bool { return s.SigmaIn != nil && s.SigmaIn[k] >= TooThinIn }

// ThinCells says of each roof cell whether the shots about it are too thin, or
// too far, to tell a shallow pond there: IsThin or not IsKnown. Cost: O(cells).
func (s *Surface) ThinCells() []bool {
	out := make([]bool, s.Len())
	for k, roof := range s.Roof {
		out[k] = roof && (s.IsThin(k) || !s.IsKnown(k))
	}
	return out
}
