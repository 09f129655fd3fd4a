package studyfile
import ("testing";"strings";"fmt";"time")
func TestXX(t *testing.T){
 M:=1<<20
 rep:=func(s string)string{return strings.Repeat(s,M/len(s)-8)}
 for n,s:=range map[string]string{
 "brackets":rep("["),"braces":rep("{a: "),"dashes":rep("- "),"dashlines":rep("- a\n"),"q":rep("? "),"colons":rep("a: "),"anchors":rep("&a "),"anchors2":rep("&a1 x\n"),"alias":rep("*a "),"tags":rep("!a "),"keys":rep("a: b\n"),"docs":rep("---\n"),"dots":rep("...\n"),"quote":"a: \""+rep("x"),"quotes":rep("\"a\" "),"plain":rep("x"),"plainlines":"a: "+rep("x\n  "),"lit":"a: |\n"+rep("  x\n"),"litlong":"a: |\n  "+rep("x"),"comments":rep("# a\n"),"comment":rep("#"),"flowlist":"a: ["+rep("1, ")+"1]","flowmap":"a: {"+rep("a: 1, ")+"}","pct":rep("%"),"tabs":rep("\t"),"spaces":"a:"+rep(" "),"nl":"a:"+rep("\n")+"b","cr":rep("a\r"),"fold":"a: >\n"+rep("  x y\n\n"),"sq":"a: '"+rep("'' "),"merge":rep("<<: *a\n"),"steps": func()string{b:=strings.Builder{};for i:=0;b.Len()<M-3000;i++{b.WriteString(strings.Repeat(" ",i)+"a:\n")};return b.String()}(),"colon":rep(":"),"colonnl":rep(":\n"),"dashcolon":rep("-:"),"bang":rep("!"),"amp":rep("&"),"star":rep("*"),"gt":rep(">\n"),"pipe":rep("|\n"),"escape":"a: \""+rep("\\x41")+"\"","qn":rep("? a\n"),"comma":rep(","),"closeb":rep("]"),"mix":rep("[a,{b: c},"),"dq":"{"+rep("\"a\":1,"),
 }{
  t0:=time.Now(); _,err:=Parse([]byte(s),"f"); d:=time.Since(t0)
  e:=strings.SplitN(err.Error(),"\n",2)[0]; if len(e)>110{e=e[:110]}
  fmt.Printf("%-10s %6d ms %s\n",n,d.Milliseconds(),e)
 }
}
