package unit

// USRPerSI is the R of one m2 K/W in sq ft h F/Btu, by the definitions of foot,
// degree and the international table Btu: (1/0.3048)^2 x 1.8 x 1055.05585262 / 3600.
const USRPerSI = 1055.05585262 / 3600 * 1.8 / (0.3048 * 0.3048)
