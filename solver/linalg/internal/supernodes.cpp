#include "solver/linalg/internal/supernodes.h"

#include <algorithm>
#include <numeric>

namespace stillwall::solver::internal {

namespace {

// A front while it is being merged; columns and rows are nodes, numbered in the elimination order.
struct Draft
{
    std::vector<int> columns;
    std::vector<int> below; ///< not sorted
    std::vector<int> children;
    int parent = -1;
    int n_cols = 0, n_rows = 0; ///< in unknowns
    double padding = 0;         ///< zeros stored by merging
    bool is_merged = false;     ///< swallowed by its parent
};

// One draft per node: its column of the factor is its own neighbours and what its children left.
std::vector<Draft> eliminate(const NodeGraph& graph, const std::vector<int>& order)
{
    const int n = graph.n_nodes();
    std::vector<int> place(n);
    for (int i = 0; i < n; ++i) place[order[i]] = i;
    std::vector<Draft> drafts(n);
    std::vector<int> seen(n, -1);
    for (int j = 0; j < n; ++j) {
        Draft& draft = drafts[j];
        const auto add = [&](int i) {
            if (i <= j || seen[i] == j) return;
            seen[i] = j;
            draft.below.push_back(i);
            draft.n_rows += graph.weight(order[i]);
        };
        for (int k = graph.start[order[j]]; k < graph.start[order[j] + 1]; ++k) add(place[graph.neighbours[k]]);
        for (const int child : draft.children) {
            for (const int i : drafts[child].below) add(i);
        }
        draft.columns = {j};
        draft.n_cols = graph.weight(order[j]);
        if (draft.below.empty()) continue;
        draft.parent = *std::min_element(draft.below.begin(), draft.below.end());
        drafts[draft.parent].children.push_back(j);
    }
    return drafts;
}

// Zeros stored in the parent's panel when the child's columns are put in front of it.
double padding_of(const Draft& child, const Draft& parent)
{
    return static_cast<double>(child.n_cols) * (parent.n_cols + parent.n_rows - child.n_rows);
}

// Wide panels keep the BLAS busy; the allowed share of zeros falls with the width. Shares found by timing shells of
// 10⁴–10⁵ unknowns.
bool is_worth_merging(const Draft& child, const Draft& parent)
{
    const double added = padding_of(child, parent);
    if (added == 0) return true;
    const double cols = child.n_cols + parent.n_cols;
    const double stored = cols * (0.5 * cols + parent.n_rows);
    const double share = (added + child.padding + parent.padding) / stored;
    if (cols <= 24) return share < 0.6;
    if (cols <= 72) return share < 0.25;
    return cols <= 160 ? share < 0.1 : share < 0.03;
}

void merge_into_parent(Draft& child, Draft& parent)
{
    parent.padding += child.padding + padding_of(child, parent);
    parent.columns.insert(parent.columns.begin(), child.columns.begin(), child.columns.end());
    parent.n_cols += child.n_cols;
    child.is_merged = true;
    child.below = {};
    child.columns = {};
}

void merge_drafts(std::vector<Draft>& drafts)
{
    for (Draft& parent : drafts) {
        std::vector<int> children = std::move(parent.children);
        std::sort(children.begin(), children.end(), [&](int a, int b) {
            const double pa = padding_of(drafts[a], parent), pb = padding_of(drafts[b], parent);
            return pa != pb ? pa < pb : a < b;
        });
        parent.children.clear();
        for (const int c : children) {
            if (is_worth_merging(drafts[c], parent)) {
                merge_into_parent(drafts[c], parent);
                parent.children.insert(parent.children.end(), drafts[c].children.begin(), drafts[c].children.end());
            } else {
                parent.children.push_back(c);
            }
        }
    }
}

// Children before parents, each subtree contiguous; without recursion, since a tree can be as deep as it has nodes.
std::vector<int> postorder(const std::vector<Draft>& drafts)
{
    std::vector<int> result, stack;
    for (int i = 0; i < static_cast<int>(drafts.size()); ++i) {
        if (drafts[i].parent < 0) stack.push_back(i);
    }
    // Parents first, then reversed.
    while (!stack.empty()) {
        const int i = stack.back();
        stack.pop_back();
        result.push_back(i);
        stack.insert(stack.end(), drafts[i].children.begin(), drafts[i].children.end());
    }
    std::reverse(result.begin(), result.end());
    return result;
}

} // namespace

FrontTree make_front_tree(const NodeGraph& graph, const std::vector<int>& order)
{
    std::vector<Draft> drafts = eliminate(graph, order);
    merge_drafts(drafts);
    const std::vector<int> sequence = postorder(drafts);

    FrontTree tree;
    tree.fronts.resize(sequence.size());
    std::vector<int> first_position(graph.n_nodes()); // of each node, by its place in the order
    std::vector<int> front_of(drafts.size(), -1);
    for (std::size_t f = 0; f < sequence.size(); ++f) {
        const Draft& draft = drafts[sequence[f]];
        Front& front = tree.fronts[f];
        front_of[sequence[f]] = static_cast<int>(f);
        front.first = tree.size();
        front.n_cols = draft.n_cols;
        for (const int j : draft.columns) {
            first_position[j] = tree.size();
            for (int u = graph.first[order[j]]; u < graph.first[order[j] + 1]; ++u) tree.unknown.push_back(u);
        }
        for (const int c : draft.children) {
            front.children.push_back(front_of[c]);
            tree.fronts[front_of[c]].parent = static_cast<int>(f);
        }
        std::sort(front.children.begin(), front.children.end());
    }
    for (std::size_t f = 0; f < sequence.size(); ++f) {
        Front& front = tree.fronts[f];
        const Draft& draft = drafts[sequence[f]];
        front.rows.reserve(draft.n_rows);
        for (const int j : draft.below) {
            for (int k = 0; k < graph.weight(order[j]); ++k) front.rows.push_back(first_position[j] + k);
        }
        std::sort(front.rows.begin(), front.rows.end());
        front.panel = tree.n_values;
        tree.n_values += static_cast<std::size_t>(front.height()) * front.n_cols;
    }
    tree.position.resize(tree.unknown.size());
    for (int p = 0; p < tree.size(); ++p) tree.position[tree.unknown[p]] = p;
    return tree;
}

} // namespace stillwall::solver::internal
