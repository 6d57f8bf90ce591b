package chem

import (
	"math"

	"raftwright/source"
)

// Sources of the constants in this file.
const (
	databaseSource  source.ID = "phreeqc388" // association constants as in its ammonium database
	carbonateSource source.ID = "plummer1982"
	activitySource  source.ID = "truesdell1974"
	citrateSource   source.ID = "minteqv4"
)

// ligand is a component that pairs with cations and is solved for. Carbon
// dioxide, H2PO4- and H2Citrate- stand for their families because an alkalinity
// titration ends on them: the proton total is then minus the alkalinity.
type ligand int

const (
	ligandSO4 ligand = iota
	ligandC
	ligandP
	ligandF
	ligandCitrate
	ligandCount
	noLigand = ligand(-1)
)

// base is a component with at most one ligand in each of its species: given the
// ligands and the pH its free amount follows at once, so it is not solved for.
type base int

const (
	baseCa base = iota
	baseMg
	baseNa
	baseK
	baseNH4
	baseFe
	baseB
	baseSi
	baseCount
	noBase = base(-1)
)

// law is an equilibrium constant as a function of temperature: by an analytic
// expression where one is known, else van 't Hoff's from 25 °C.
type law struct {
	log25    float64 // log10 K at 25 °C
	enthalpy float64 // kJ/mol
	analytic *[6]float64
}

// at gives log10 K at a temperature in kelvins. Analytic expressions are
// a0 + a1 T + a2/T + a3 log10 T + a4/T2 + a5 T2.
func (l law) at(kelvin float64) float64 {
	if a := l.analytic; a != nil {
		return a[0] + a[1]*kelvin + a[2]/kelvin + a[3]*math.Log10(kelvin) + a[4]/(kelvin*kelvin) + a[5]*kelvin*kelvin
	}
	const gas = 8.3145e-3 // kJ/mol/K
	return l.log25 - l.enthalpy/(math.Ln10*gas)*(1/kelvin-1/298.15)
}

// Analytic expressions: carbonate system of Plummer & Busenberg 1982
// (Geochim. Cosmochim. Acta 46:1011), the others from the database.
var (
	lawWater   = law{analytic: &[6]float64{293.29227, 0.1360833, -10576.913, -123.73158, 0, -6.996455e-5}}
	lawHenry   = law{analytic: &[6]float64{108.3865, 0.01985076, -6919.53, -40.45154, 669365, 0}}
	lawFirst   = law{analytic: &[6]float64{-356.3094, -0.06091964, 21834.37, 126.8339, -1684915, 0}}
	lawSecond  = law{analytic: &[6]float64{-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9, 0}}
	lawAmmonia = law{analytic: &[6]float64{0.6322, -0.001225, -2835.76, 0, 0, 0}}
	lawCaSO4   = law{analytic: &[6]float64{1.478, 8.29e-3, -538.2, 0, 0, 0}}
	lawMgSO4   = law{analytic: &[6]float64{0, 9.64e-3, -136, 0, 0, 0}}
	lawCaHCO3  = law{analytic: &[6]float64{1209.120, 0.31294, -34765.05, -478.782, 0, 0}}
)

// row is one species: how it forms from a base and an earlier species, and
// what its activity coefficient follows.
type row struct {
	name    string
	charge  float64
	base    base
	with    Species // the form of the ligand in the reaction, noSpecies for none
	ligand  ligand
	protons int // taken up in the reaction, minus: given off
	law     law
	size    float64 // Truesdell-Jones ion size in ångström; 0: Davies, or neutral
	linear  float64 // Truesdell-Jones b
}

const noSpecies = Species(-1)

// rows holds the species in the order of their names. Constants and enthalpies
// are those of the geochemical database cited (read from its tables); citrate
// from the metal-speciation database; silicate, fluoride, hydroxo and ferrous
// pairs are the same database's, written from memory.
var rows = [SpeciesCount]row{
	FreeH:   {"H+", 1, noBase, noSpecies, noLigand, 1, law{}, 9, 0},
	FreeOH:  {"OH-", -1, noBase, noSpecies, noLigand, -1, lawWater, 3.5, 0},
	FreeCa:  {"Ca++", 2, baseCa, noSpecies, noLigand, 0, law{}, 5, 0.165},
	FreeMg:  {"Mg++", 2, baseMg, noSpecies, noLigand, 0, law{}, 5.5, 0.20},
	FreeNa:  {"Na+", 1, baseNa, noSpecies, noLigand, 0, law{}, 4.08, 0.082},
	FreeK:   {"K+", 1, baseK, noSpecies, noLigand, 0, law{}, 3.5, 0.015},
	FreeNH4: {"NH4+", 1, baseNH4, noSpecies, noLigand, 0, law{}, 2.5, 0},
	FreeFe:  {"Fe++", 2, baseFe, noSpecies, noLigand, 0, law{}, 6, 0},
	FreeNO3: {"NO3-", -1, noBase, noSpecies, noLigand, 0, law{}, 3, 0},
	FreeCl:  {"Cl-", -1, noBase, noSpecies, noLigand, 0, law{}, 3.63, 0.017},

	FreeSO4:       {"SO4--", -2, noBase, noSpecies, ligandSO4, 0, law{}, 5, -0.04},
	FreeHSO4:      {"HSO4-", -1, noBase, FreeSO4, ligandSO4, 1, law{log25: 1.988, enthalpy: 16.1}, 0, 0},
	FreeCO2:       {"CO2", 0, noBase, noSpecies, ligandC, 0, law{}, 0, 0},
	FreeHCO3:      {"HCO3-", -1, noBase, FreeCO2, ligandC, -1, lawFirst, 5.4, 0},
	FreeCO3:       {"CO3--", -2, noBase, FreeHCO3, ligandC, -1, lawSecond, 5.4, 0},
	FreeH3PO4:     {"H3PO4", 0, noBase, FreeH2PO4, ligandP, 1, law{log25: 21.721 - 19.553, enthalpy: -10.1 + 18.9}, 0, 0},
	FreeH2PO4:     {"H2PO4-", -1, noBase, noSpecies, ligandP, 0, law{}, 5.4, 0},
	FreeHPO4:      {"HPO4--", -2, noBase, FreeH2PO4, ligandP, -1, law{log25: 12.346 - 19.553, enthalpy: -14.8 + 18.9}, 5, 0},
	FreePO4:       {"PO4---", -3, noBase, FreeHPO4, ligandP, -1, law{log25: -12.346, enthalpy: 14.8}, 4, 0},
	FreeNH3:       {"NH3", 0, baseNH4, noSpecies, noLigand, -1, lawAmmonia, 0, 0},
	FreeH3BO3:     {"H3BO3", 0, baseB, noSpecies, noLigand, 0, law{}, 0, 0},
	FreeH2BO3:     {"H2BO3-", -1, baseB, noSpecies, noLigand, -1, law{log25: -9.24, enthalpy: 13.5}, 2.5, 0},
	FreeH4SiO4:    {"H4SiO4", 0, baseSi, noSpecies, noLigand, 0, law{}, 0, 0},
	FreeH3SiO4:    {"H3SiO4-", -1, baseSi, noSpecies, noLigand, -1, law{log25: -9.83, enthalpy: 25.6}, 4, 0},
	FreeF:         {"F-", -1, noBase, noSpecies, ligandF, 0, law{}, 3.5, 0},
	FreeHF:        {"HF", 0, noBase, FreeF, ligandF, 1, law{log25: 3.18, enthalpy: 13.3}, 0, 0},
	FreeH3Citrate: {"H3Cit", 0, noBase, FreeH2Citrate, ligandCitrate, 1, law{log25: 14.285 - 11.157}, 0, 0},
	FreeH2Citrate: {"H2Cit-", -1, noBase, noSpecies, ligandCitrate, 0, law{}, 0, 0},
	FreeHCitrate:  {"HCit--", -2, noBase, FreeH2Citrate, ligandCitrate, -1, law{log25: 6.396 - 11.157}, 0, 0},
	FreeCitrate:   {"Cit---", -3, noBase, FreeHCitrate, ligandCitrate, -1, law{log25: -6.396}, 0, 0},

	PairCaOH:        {"CaOH+", 1, baseCa, noSpecies, noLigand, -1, law{log25: -12.78, enthalpy: 64.1}, 6, 0},
	PairCaSO4:       {"CaSO4", 0, baseCa, FreeSO4, ligandSO4, 0, lawCaSO4, 0, 0},
	PairCaHCO3:      {"CaHCO3+", 1, baseCa, FreeCO3, ligandC, 1, law{log25: 10.91, enthalpy: 18.3}, 6, 0},
	PairCaCO3:       {"CaCO3", 0, baseCa, FreeCO3, ligandC, 0, law{log25: 3.224, enthalpy: 14.8}, 0, 0},
	PairCaH2PO4:     {"CaH2PO4+", 1, baseCa, FreeH2PO4, ligandP, 0, law{log25: 1.408, enthalpy: 14.2}, 5.4, 0},
	PairCaHPO4:      {"CaHPO4", 0, baseCa, FreeHPO4, ligandP, 0, law{log25: 2.739, enthalpy: 13.8}, 0, 0},
	PairCaPO4:       {"CaPO4-", -1, baseCa, FreePO4, ligandP, 0, law{log25: 6.459, enthalpy: 13.0}, 5.4, 0},
	PairCaF:         {"CaF+", 1, baseCa, FreeF, ligandF, 0, law{log25: 0.94, enthalpy: 17.2}, 5.5, 0},
	PairCaCitrate:   {"CaCit-", -1, baseCa, FreeCitrate, ligandCitrate, 0, law{log25: 4.87}, 0, 0},
	PairCaHCitrate:  {"CaHCit", 0, baseCa, FreeHCitrate, ligandCitrate, 0, law{log25: 9.26 - 6.396}, 0, 0},
	PairCaH2Citrate: {"CaH2Cit+", 1, baseCa, FreeH2Citrate, ligandCitrate, 0, law{log25: 12.257 - 11.157}, 0, 0},
	PairMgOH:        {"MgOH+", 1, baseMg, noSpecies, noLigand, -1, law{log25: -11.44, enthalpy: 66.7}, 6.5, 0},
	PairMgSO4:       {"MgSO4", 0, baseMg, FreeSO4, ligandSO4, 0, lawMgSO4, 0, 0},
	PairMgHCO3:      {"MgHCO3+", 1, baseMg, FreeCO3, ligandC, 1, law{log25: 11.399, enthalpy: -11.6}, 4, 0},
	PairMgCO3:       {"MgCO3", 0, baseMg, FreeCO3, ligandC, 0, law{log25: 2.98, enthalpy: 11.4}, 0, 0},
	PairMgH2PO4:     {"MgH2PO4+", 1, baseMg, FreeH2PO4, ligandP, 0, law{log25: 1.513, enthalpy: 14.2}, 5.4, 0},
	PairMgHPO4:      {"MgHPO4", 0, baseMg, FreeHPO4, ligandP, 0, law{log25: 2.87, enthalpy: 13.8}, 0, 0},
	PairMgPO4:       {"MgPO4-", -1, baseMg, FreePO4, ligandP, 0, law{log25: 6.589, enthalpy: 13.0}, 5.4, 0},
	PairMgF:         {"MgF+", 1, baseMg, FreeF, ligandF, 0, law{log25: 1.82, enthalpy: 13.4}, 4.5, 0},
	PairMgCitrate:   {"MgCit-", -1, baseMg, FreeCitrate, ligandCitrate, 0, law{log25: 4.89}, 0, 0},
	PairMgHCitrate:  {"MgHCit", 0, baseMg, FreeHCitrate, ligandCitrate, 0, law{log25: 8.91 - 6.396}, 0, 0},
	PairMgH2Citrate: {"MgH2Cit+", 1, baseMg, FreeH2Citrate, ligandCitrate, 0, law{log25: 12.2 - 11.157}, 0, 0},
	PairNaSO4:       {"NaSO4-", -1, baseNa, FreeSO4, ligandSO4, 0, law{log25: 0.94, enthalpy: 8.2}, 3.5, 0.107},
	PairNaHCO3:      {"NaHCO3", 0, baseNa, FreeHCO3, ligandC, 0, law{log25: -0.06, enthalpy: 21}, 0, 0},
	PairNaHPO4:      {"NaHPO4-", -1, baseNa, FreeHPO4, ligandP, 0, law{log25: 0.29}, 5.4, 0},
	PairNaCitrate:   {"NaCit--", -2, baseNa, FreeCitrate, ligandCitrate, 0, law{log25: 1.03}, 0, 0},
	PairNaHCitrate:  {"NaHCit-", -1, baseNa, FreeHCitrate, ligandCitrate, 0, law{log25: 6.45 - 6.396}, 0, 0},
	PairKSO4:        {"KSO4-", -1, baseK, FreeSO4, ligandSO4, 0, law{log25: 1.18, enthalpy: 3.0}, 5.4, 0.19},
	PairKHPO4:       {"KHPO4-", -1, baseK, FreeHPO4, ligandP, 0, law{log25: 0.29}, 5.4, 0},
	PairKCitrate:    {"KCit--", -2, baseK, FreeCitrate, ligandCitrate, 0, law{log25: 1.1}, 0, 0},
	PairNH4SO4:      {"NH4SO4-", -1, baseNH4, FreeSO4, ligandSO4, 0, law{log25: 1.276, enthalpy: -13.6}, 5.4, 0},
	PairFeOH:        {"FeOH+", 1, baseFe, noSpecies, noLigand, -1, law{log25: -9.5, enthalpy: 55.2}, 5, 0},
	PairFeSO4:       {"FeSO4", 0, baseFe, FreeSO4, ligandSO4, 0, law{log25: 2.25, enthalpy: 13.5}, 0, 0},
	PairFeHCO3:      {"FeHCO3+", 1, baseFe, FreeHCO3, ligandC, 0, law{log25: 2.0}, 6, 0},
	PairFeCO3:       {"FeCO3", 0, baseFe, FreeCO3, ligandC, 0, law{log25: 4.38}, 0, 0},
	PairFeH2PO4:     {"FeH2PO4+", 1, baseFe, FreeH2PO4, ligandP, 0, law{log25: 2.7}, 5.4, 0},
	PairFeHPO4:      {"FeHPO4", 0, baseFe, FreeHPO4, ligandP, 0, law{log25: 3.6}, 0, 0},
	PairFeF:         {"FeF+", 1, baseFe, FreeF, ligandF, 0, law{log25: 1.0}, 5, 0},
}

// conductLaws are the constants that the conductivity form A was fitted with
// (the edition 3.7.3 of the same database); the pairs they rule are solved
// again for the conductivity alone, see conduct.go.
var conductLaws = []struct {
	species Species
	with    Species
	law     law
}{
	{PairCaSO4, FreeSO4, law{log25: 2.25, enthalpy: 5.5}},
	{PairMgSO4, FreeSO4, law{log25: 2.37, enthalpy: 19.0}},
	{PairKSO4, FreeSO4, law{log25: 0.85, enthalpy: 9.4}},
	{PairNaSO4, FreeSO4, law{log25: 0.70, enthalpy: 4.7}},
	{PairNH4SO4, FreeSO4, law{log25: 1.11, enthalpy: 0}},
	{PairCaHCO3, FreeHCO3, lawCaHCO3},
	{PairNaHCO3, FreeHCO3, law{log25: -0.25, enthalpy: 0}},
}
