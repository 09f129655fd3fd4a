// Package radiation is what the air outside does to an opening: the load on it, and
// the pressure that it makes at another one. Time factor exp(+jωt), as everywhere.
//
// All loads are into a half space that a rigid plane bounds, but those of pipes
// without a flange, which are into free space. The load of a round piston stands in
// package phys, because cones and ports have it too.
package radiation
