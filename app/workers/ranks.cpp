#include "app/workers/ranks.h"

#include "solver/choose/archive.h"

#include <cstdlib>

#ifdef STILLWALL_MPI
#include <mpi.h>
#endif

namespace stillwall::app {

#ifdef STILLWALL_MPI

namespace {

constexpr int ask_tag = 1, give_tag = 2;

struct Ranks
{
    int count = 1, mine = 0;
    bool is_joined = false;
    ~Ranks()
    {
        if (is_joined) MPI_Finalize();
    }
};

Ranks& ranks()
{
    static Ranks one;
    return one;
}

void send_bytes(int rank, int tag, const std::string& bytes)
{
    MPI_Send(bytes.data(), static_cast<int>(bytes.size()), MPI_BYTE, rank, tag, MPI_COMM_WORLD);
}

std::string receive_bytes(int rank, int tag, int& from)
{
    MPI_Status status;
    MPI_Probe(rank, tag, MPI_COMM_WORLD, &status);
    int size = 0;
    MPI_Get_count(&status, MPI_BYTE, &size);
    std::string bytes(static_cast<std::size_t>(size), '\0');
    from = status.MPI_SOURCE;
    MPI_Recv(bytes.data(), size, MPI_BYTE, from, tag, MPI_COMM_WORLD, MPI_STATUS_IGNORE);
    return bytes;
}

} // namespace

void join_ranks()
{
    Ranks& all = ranks();
    // Without mpirun joining only costs time and may warn about networks.
    if (all.is_joined || (std::getenv("OMPI_COMM_WORLD_SIZE") == nullptr && std::getenv("PMI_SIZE") == nullptr)) return;
    MPI_Init(nullptr, nullptr);
    all.is_joined = true;
    MPI_Comm_size(MPI_COMM_WORLD, &all.count);
    MPI_Comm_rank(MPI_COMM_WORLD, &all.mine);
}

int n_ranks()
{
    return ranks().count;
}
int my_rank()
{
    return ranks().mine;
}

std::optional<RankMessage> next_message()
{
    int is_waiting = 0;
    MPI_Status status;
    MPI_Iprobe(MPI_ANY_SOURCE, ask_tag, MPI_COMM_WORLD, &is_waiting, &status);
    if (is_waiting == 0) return std::nullopt;
    RankMessage message;
    const std::string bytes = receive_bytes(status.MPI_SOURCE, ask_tag, message.rank);
    if (bytes.empty()) return message;
    solver::Unpacker unpacker(bytes);
    unpacker(message.number.emplace(), message.outcome.is_input, message.outcome.problem, message.outcome.bytes);
    return message;
}

void send_number(int rank, std::size_t number)
{
    solver::Packer packer;
    packer(number);
    send_bytes(rank, give_tag, packer.take());
}

void dismiss(int rank)
{
    send_bytes(rank, give_tag, {});
}

void work_for_first_rank(const std::function<std::string(std::size_t)>& job)
{
    std::string report; // the first time there is nothing to tell
    while (true) {
        send_bytes(0, ask_tag, report);
        int from = 0;
        const std::string task = receive_bytes(0, give_tag, from);
        if (task.empty()) return;
        std::size_t number = 0;
        solver::Unpacker unpacker(task);
        unpacker(number);
        const Outcome outcome = do_job(job, number);
        solver::Packer packer;
        packer(number, outcome.is_input, outcome.problem, outcome.bytes);
        report = packer.take();
    }
}

#else

void join_ranks() {}
int n_ranks()
{
    return 1;
}
int my_rank()
{
    return 0;
}
std::optional<RankMessage> next_message()
{
    return std::nullopt;
}
void send_number(int, std::size_t) {}
void dismiss(int) {}
void work_for_first_rank(const std::function<std::string(std::size_t)>&) {}

#endif

} // namespace stillwall::app
