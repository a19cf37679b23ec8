package survey

// TooThinIn is the standard error of a surface, in inches, from which on shots
// are too thin to tell a pond of 1/2 in: two standard errors are as deep. Over
// runs of 10 ft and more slopes are told to some 1/16 in/ft there still. Common
// practice, no source.
const TooThinIn = 0.25

// IsThin says whether the shots about cell k are too thin to tell a shallow
// pond there. A surface without errors is thin nowhere.
func (s *Surface) IsThin(k int) bool { return s.SigmaIn != nil && s.SigmaIn[k] >= TooThinIn }

// NearOutletFt is how far the nearest shot to an outlet may stand for what is
// said of the water there to be known: shots belong on the rim and some feet
// about it; beyond, nothing is known of the last stretch that the water runs.
// Common practice, no source.
const NearOutletFt = 10.0
