// Package ask lists what a survey leaves open: the questions to send to the
// owner before the job is priced, by area, drain and edge.
package ask

// Question is one thing to ask for.
type Question struct {
	Area   string // empty: the whole job
	About  string // "drain D2", "edge 3", "cores"
	Ask    string // in full words
	Why    string // what cannot be told without it
	Urgent bool   // a verdict hangs on it
}
