// Package mix finds out what to put into a water: it reads fertilisers by label
// or formula, finds the doses that come nearest to a recipe in this water,
// rounds them to what a person can measure, and tells what the meters will
// show. It also checks recipes as they are found, splits them into two
// concentrate tanks, and mends a bed that was dosed wrongly.
//
// Material is what a shelf holds, Target what the solution shall hold, Job the
// question and Mix the answer. Everything is linear algebra over Levels, the
// mass of each nutrient in a litre: achieved = water + dose x content, exactly.
// What the ions then do (pH, conductivity, solids) is asked of package chem.
//
// Range: dilute nutrient solutions, up to about 10 g/L of salts. Amounts are
// grams per litre of finished solution; a label counts by mass. Nothing here
// knows prices beyond the pack's, or the law beyond the label.
package mix
