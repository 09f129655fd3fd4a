// Package filter holds the filters of the line-level signal before the
// amplifier: their prototypes in s, what they do at a frequency, and the same
// as digital second-order sections with a processor that runs them.
//
// A constructor makes a Chain; Join puts chains behind one another; Chain.At is
// the response and Chain.Digital the same at a sampling rate. Phasors are of
// exp(+jωt), as everywhere. Frequencies that people set are in Hz, ω is in
// rad/s, levels are in dB. Every error of a
// constructor, Join and Digital is an *Error.
package filter
