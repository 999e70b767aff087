#pragma once
// Processes started together by mpirun. Without MPI in the build, or without mpirun, there is one.

#include "app/workers/apart.h"

#include <optional>

namespace stillwall::app {

/// Joins the others; does nothing when there are none or it was done.
void join_ranks();
[[nodiscard]] int n_ranks();
[[nodiscard]] int my_rank();

/// A rank asks for work, with the result of its last one if it had any.
struct RankMessage
{
    int rank = 0;
    std::optional<std::size_t> number;
    Outcome outcome;
};

// For the first rank.
[[nodiscard]] std::optional<RankMessage> next_message(); ///< nothing when none is waiting
void send_number(int rank, std::size_t number);
void dismiss(int rank);

/// For the others: does what the first one asks until it is dismissed.
void work_for_first_rank(const std::function<std::string(std::size_t)>& job);

/// Runs one job and turns what it throws into an outcome.
[[nodiscard]] Outcome do_job(const std::function<std::string(std::size_t)>& job, std::size_t number);

} // namespace stillwall::app
