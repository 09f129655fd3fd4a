package study

// HeatIn is Heat with so many steps in the time of the quickest coil.
var HeatIn = (*Study).heatIn

// HeatSteps is how many Heat makes.
const HeatSteps = heatSteps
