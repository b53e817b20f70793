// Compiled once a case: case 0 must compile, every other case must not. See CMakeLists.txt.
#include "geocore/base/calendar.hpp"
#include "geocore/records/keys.hpp"
#include "geocore/units/units.hpp"

using namespace nestround;

// What is meant to work; a change that forbids it breaks case 0.
Metres detour(Metres a, Metres b) { return a + b; }
CelsiusDelta rise(Celsius a, Celsius b) { return a - b; }
Celsius warmer(Celsius a, CelsiusDelta d) { return a + d; }
double share(Grams a, Grams b) { return a / b; }
LonLat place() { return {Longitude{7.0}, Latitude{50.9}}; }
seconds open_for(ClockSpan span) { return span.closes - span.opens; }

#if NESTROUND_BREAK == 1
Metres wrong = Metres{1.0} + Milligrams{1.0};  // a length and a mass
#elif NESTROUND_BREAK == 2
auto wrong = Celsius{20.0} + Celsius{20.0};  // two readings have no sum
#elif NESTROUND_BREAK == 3
Metres wrong = 5.0;  // a number says no unit
#elif NESTROUND_BREAK == 4
LonLat wrong{Latitude{50.9}, Longitude{7.0}};  // swapped
#elif NESTROUND_BREAK == 5
Grams wrong = Milligrams{1000.0};  // grams() converts
#elif NESTROUND_BREAK == 6
NestId wrong = SiteId{};  // a site is no nest
#elif NESTROUND_BREAK == 7
bool wrong = Celsius{20.0} < CelsiusDelta{5.0};  // a reading against a rise
#elif NESTROUND_BREAK == 8
auto wrong = ClockTime::at(7, 0) + ClockTime::at(8, 0);  // two clock times have no sum
#endif
