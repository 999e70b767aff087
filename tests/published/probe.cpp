#include "tests/published/checks.h"
#include <fmt/format.h>
#include <chrono>
#include <functional>
using namespace stillwall::published;
static void run(const char* name, std::vector<Check>(*f)()) {
    auto t=std::chrono::steady_clock::now();
    auto c=f();
    for (auto& k:c) { fmt::print("{:14s} {:+.4f}% tol {:.3f}% {}\n",k.id,100*worst_error(k),100*k.tolerance,k.mesh);
      if (k.reference.size()<=12) { for(size_t i=0;i<k.reference.size();++i) fmt::print("   {:.6g} / {:.6g} ({:+.3f}%)",k.reference[i],k.ours[i],100*(k.ours[i]/k.reference[i]-1)); fmt::print("\n"); } }
    fmt::print("== {} {:.2f} s\n",name,std::chrono::duration<double>(std::chrono::steady_clock::now()-t).count());
}
int main(int argc,char**argv){
#define R(x) run(#x,x)
 R(nafems_checks); R(edge_checks);
}
