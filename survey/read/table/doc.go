// Package table reads delimited text: separators, headers and lengths in every
// usual writing. It knows shot lists, and serves the core and board tables of
// a job. What is wrong comes back as problems with file, line, field, value,
// why and the mend, as many as can be told at once.
//
// It reads line by line and holds one line at a time.
package table
