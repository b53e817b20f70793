/// \file colony.hpp
/// \brief One colony day by day: eggs, larvae, sealed brood, workers, gynes, males and cells by
/// age.
///
/// Purpose:  the age-structured course that stands behind every forecast. Each stage is a chain of
///           boxes (a discrete linear chain): its mean stay is the published one and it has a
///           spread. Laying is limited by the queen, by the food that workers bring and by cells.
/// Units:    days from the founding; counts.
/// Range:    brood days >= 3 a stage; a colony lives less than two years.
/// Accuracy: brood days are those of tended nests and are never fitted to the air outside. What
///           nobody published (food, queen, building) is calibrated to the published peak, see
///           docs.
/// Cost:     some ten microseconds a colony; stepping allocates nothing.
/// Errors:   none.
/// Source:   chain: N. MacDonald, "Time lags in biological models", Lecture Notes in Biomathematics
///           27 (1978); shape after the season models of rows G-19 to G-21 of the dossier (S28,
///           S54, S55); docs/science/season-and-yield.md.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

namespace nestround::nature {

/// What a colony consists of on a day; also the order of `ColonyState::values`.
enum class Part {
    Workers,
    Eggs,
    Larvae,
    SealedSmall,
    SealedLarge,
    Gynes,
    Males,
    SmallCells,
    LargeCells
};
inline constexpr std::size_t kParts = 9;

/// One colony's numbers. Days count from its founding.
struct ColonyParameters {
    double egg_days = 7;
    double larva_days = 10.5;
    double sealed_days = 14.8;
    double large_ratio = 1.2;  ///< larval and sealed days of gynes and males over those of workers
    double brood_loss = 0.03;  ///< share of the eggs that no adult comes of
    double worker_life = 19;   ///< mean days of an adult worker
    double first_workers_on = 30;
    double first_workers = 6;      ///< that emerge together
    double founding_eggs = 2.3;    ///< a day, of the queen alone
    double founding_cells = 45;    ///< that she builds alone
    double eggs_per_worker = 0.6;  ///< a day, that the food of one worker rears
    double queen_most = 150;       ///< worker eggs a day that the queen can lay; as many of
                                   ///< gynes and males may come on top
    double switch_on = 120;        ///< first large cells, or first eggs of gynes and males
    double fade_on = 115;          ///< worker laying falls to what keeps the force
    double kept = 0.8;             ///< share of the worker laying that goes on after `fade_on`
    double stop_on = 150;          ///< last eggs laid, about
    double decline_on = 180;       ///< from here workers die faster
    double end_on = 220;
    double large_per_small = 0.45;  ///< large cells over small cells when the nest is complete
    double fill_days = 30;          ///< in which the large cells are built and filled
    double gyne_share = 0.5;        ///< of the eggs in large cells
    double leave_days = 12;         ///< mean stay of adult gynes and males in the nest
    double spare_cells = 0.1;       ///< small cells kept empty, over those in use
    double cells_per_worker = 2;    ///< built a day, at most
    bool separate_large = true;     ///< false: gynes and males grow in the same cells (Polistes)
    bool lives_on = false;          ///< outlives the winter: some laying goes on
};

struct ColonyState {
    std::array<double, kParts> values{};
    double adults_made = 0;  ///< workers, gynes and males since the founding
    double eggs_laid = 0;    ///< since the founding, of all kinds
    double sexual_eggs = 0;  ///< of these, of gynes and males

    [[nodiscard]] double of(Part part) const { return values[static_cast<std::size_t>(part)]; }
};

/// A chain of N boxes: what enters stays `days` on average.
template <std::size_t N>
struct StageChain {
    std::array<double, N> box{};

    /// The share of a box that moves on in a day so that the whole stay is `days` on average.
    static double pass_of(double days) { return static_cast<double>(N) / (days > N ? days : N); }

    /// One day: returns what leaves; `in` enters.
    double step(double in, double pass)
    {
        const double out = box[N - 1] * pass;
        for (std::size_t i = N - 1; i > 0; --i) {
            box[i] += box[i - 1] * pass - box[i] * pass;
        }
        box[0] += in - box[0] * pass;
        return out;
    }
    [[nodiscard]] double total() const
    {
        // Two sums side by side, as each addition waits for the one before it.
        double even = 0;
        double odd = 0;
        for (std::size_t i = 0; i + 1 < N; i += 2) {
            even += box[i];
            odd += box[i + 1];
        }
        return even + odd + (N % 2 == 1 ? box[N - 1] : 0);
    }
};

inline constexpr std::size_t kEggBoxes = 3;
inline constexpr std::size_t kLarvaBoxes = 5;
inline constexpr std::size_t kSealedBoxes = 7;
inline constexpr std::size_t kLifeBoxes = 3;

/// A colony that is stepped a day at a time.
class Colony {
public:
    explicit Colony(const ColonyParameters& parameters);

    /// The state at the end of the day of founding is that before the first step.
    void step();
    [[nodiscard]] int day() const { return day_; }
    [[nodiscard]] const ColonyState& state() const { return state_; }

private:
    void lay();
    void note();

    ColonyParameters p_;
    int day_ = 0;
    double survive_ = 1;  // at each of three passages
    double egg_pass_, larva_pass_, sealed_pass_, large_larva_pass_, large_sealed_pass_, life_pass_;
    double small_brood_ = 0, large_brood_ = 0, force_ = 0;  // sums, once a day
    StageChain<kEggBoxes> eggs_, large_eggs_;
    StageChain<kLarvaBoxes> larvae_, large_larvae_;
    StageChain<kSealedBoxes> sealed_, large_sealed_;
    StageChain<kLifeBoxes> workers_;
    double waiting_ = 0;  // adults that wait for the first to emerge
    double first_brood_ = 0;
    double gynes_ = 0, males_ = 0;
    double small_cells_ = 0, large_cells_ = 0;
    double new_small_ = 0, new_large_ = 0;  // eggs of the day
    double large_target_ = -1;
    ColonyState state_;
};

/// The most workers of a colony, and the day of them.
struct ColonyPeak {
    double workers = 0;
    int day = 0;
};
[[nodiscard]] ColonyPeak colony_peak(const ColonyParameters& parameters);

/// One colony's course to the day of its decline, kept day by day, and the colony on that day.
struct ColonyRun {
    std::vector<ColonyState> days;  ///< the first is that of the founding
    Colony colony{ColonyParameters{}};
    ColonyPeak peak;
};
/// `run` keeps its memory from one colony to the next.
void run_to_decline(const ColonyParameters& parameters, ColonyRun& run);

/// Sets the food of a worker so that the peak has `workers`, within 2 % where that can be; the peak
/// that was reached. `first_try` is the logarithm of the food to begin with; `run` becomes that of
/// the parameters in the end.
ColonyPeak calibrate_colony(ColonyParameters& parameters, double workers, double first_try,
                            ColonyRun& run);
ColonyPeak calibrate_colony(ColonyParameters& parameters, double workers);

/// The food of a worker that lets a force grow from the first workers to `workers` by the time when
/// laying fades, if neither queen nor cells were a limit: Euler and Lotka's equation.
[[nodiscard]] double food_of_growth(const ColonyParameters& parameters, double workers);

/// Combs that hold so many cells: 0.558 cells^0.3, fitted to rows N-07, N-08, N-18, N-21, G-07.
[[nodiscard]] double combs_of(double cells);

}  // namespace nestround::nature
